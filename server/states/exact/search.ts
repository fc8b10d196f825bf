/**
 * Smallest and largest of a sum of phasors over a set of states: branch and bound. Each group is one load, each option of it a
 * current with the states that have it; a state takes one option of each group, or none (0 A).
 *
 * For what a contact makes, states come in pairs (before, after) linked by a move of one control: an option may also say
 * where the state before must be.
 */
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";
import type { LoadTree } from "./load-tree.ts";

export interface Option {
  readonly re: number;
  readonly im: number;
  /** Largest magnitude; that of the phasor when it is exact. */
  readonly hi: number;
  /** False: only `hi` is known. */
  readonly exact: boolean;
  readonly set: StateSet;
  /** States before the move in which the option holds; left out: any. */
  readonly before?: StateSet;
  /** Where it is not exact: the volts of the load down to single values, and its amps for each volt. */
  readonly tree?: { readonly volts: LoadTree; readonly yRe: number; readonly yIm: number };
}

/** States, and for pairs the states before: each state of `set` follows one of `before`. */
export interface Where {
  readonly set: StateSet;
  readonly before: StateSet;
}

export interface Found extends Where {
  readonly value: number;
}

export interface Range {
  smallest?: Found;
  largest?: Found;
  /** Values above or below which something may have been left out, when the search was cut short. */
  cutAbove: number;
  cutBelow: number;
}

/** What is left of the effort for one question. */
export interface Effort {
  visits: number;
  looks: number;
  /** Visits of one search in which options only bound the value. */
  readonly unsureVisits: number;
}

/**
 * Works out the values in states in which the sum is not known by its options, and extends the range by them.
 *
 * @param bound no value there is larger
 * @param settled true when every load of the sum has one current in all the states
 */
export type Refine = (where: Where, range: Range, bound: number, settled: boolean) => void;

/**
 * One load. In the states of a part its current is that of the first option that has the state (times `sign`), 0 A where none has.
 * Parts exclude each other.
 */
export interface Group {
  readonly parts: readonly { readonly within: StateSet; readonly sign: 1 | -1 }[];
  /** Largest first. */
  readonly options: readonly Option[];
  /** States of some part and some option. */
  readonly any: StateSet;
}

interface Ranked extends Group {
  readonly most: number;
}

export class SumSearch {
  private readonly diagrams: Diagrams;
  private readonly refine: Refine;
  private readonly effort: Effort;
  /** The move from the state before; -1 when states do not come in pairs. */
  private readonly relation: number;

  constructor(diagrams: Diagrams, refine: Refine, effort: Effort, relation = -1) {
    this.diagrams = diagrams;
    this.refine = refine;
    this.effort = effort;
    this.relation = relation;
  }

  /**
   * Extends `range` by the values that the sum takes.
   *
   * @param unsure true when the options only bound the value, however exact they are
   */
  run(where: Where, groups: readonly Group[], range: Range, unsure = false): void {
    if (where.set === EMPTY) return;
    const kept: Ranked[] = [];
    for (const group of groups) {
      const most = this.mostOf(where, group);
      if (most > 0) kept.push({ ...group, most });
    }
    kept.sort((a, b) => b.most - a.most);
    const suffix = new Float64Array(kept.length + 1);
    for (let i = kept.length - 1; i >= 0; i--) suffix[i] = suffix[i + 1]! + kept[i]!.most;
    const { effort } = this;
    const later = unsure ? Math.max(0, effort.visits - effort.unsureVisits) : 0;
    effort.visits -= later;
    const start: Sum = { re: 0, im: 0, loose: 0, unsure, settled: true };
    this.largest({ groups: kept, suffix, range }, 0, where, start);
    this.smallest({ groups: kept, suffix, range }, 0, where, start);
    effort.visits = Math.max(0, effort.visits) + later;
  }

  /** Largest magnitude that the load has in the states. */
  private mostOf(where: Where, { parts, options, any }: Group): number {
    const { diagrams } = this;
    if (!diagrams.meets(where.set, any)) return 0;
    let most = 0;
    for (const { within } of parts) {
      const set = diagrams.and(where.set, within);
      if (set === EMPTY) continue;
      for (const option of options) {
        if (option.hi <= most) break;
        if (diagrams.meets(set, option.set)) most = option.hi;
      }
    }
    return most;
  }

  private largest(search: Search, i: number, where: Where, sum: Sum): void {
    const { groups, suffix, range } = search;
    const bound = Math.hypot(sum.re, sum.im) + sum.loose + suffix[i]!;
    if (this.isCutAbove(range, bound)) return;
    if (i === groups.length) {
      if (sum.unsure) this.refine(where, range, bound, sum.settled);
      else keep(range, Math.hypot(sum.re, sum.im), where);
      return;
    }
    for (const { within, sign } of groups[i]!.parts) {
      const part = restrict(this.diagrams, this.relation, where, within);
      if (part === undefined) continue;
      for (const option of groups[i]!.options) {
        const next = restrict(this.diagrams, this.relation, part, option.set, option.before);
        if (next === undefined) continue;
        if (option.exact) this.largest(search, i + 1, next, added(sum, sign * option.re, sign * option.im));
        else if (option.tree) this.largestBelow(search, i, next, sum, option, sign, option.tree.volts.shape.root);
        else this.largest(search, i + 1, next, unsettled(sum, option.hi));
      }
    }
    const none = this.leave(where, groups[i]!);
    if (none !== undefined) this.largest(search, i + 1, none, sum);
  }

  /** Down the tree of an option's load, larger volts first. */
  private largestBelow(
    search: Search,
    i: number,
    where: Where,
    sum: Sum,
    option: Option,
    sign: 1 | -1,
    at: number,
  ): void {
    const { volts, yRe, yIm } = option.tree!;
    if (at < 0) {
      const amps = ampsAt(option, at);
      if (amps !== undefined) this.largest(search, i + 1, where, added(sum, sign * amps.re, sign * amps.im));
      return;
    }
    const most = Math.min(option.hi, volts.most(at) * Math.hypot(yRe, yIm));
    if (this.isCutAbove(search.range, Math.hypot(sum.re, sum.im) + sum.loose + most + search.suffix[i + 1]!)) return;
    const { yes, no } = volts.shape;
    const yesFirst = volts.most(yes[at]!) >= volts.most(no[at]!);
    for (const side of yesFirst ? [true, false] : [false, true]) {
      const set = this.side(where.set, volts.testAt(at), side);
      if (set === EMPTY) continue;
      this.largestBelow(search, i, { set, before: where.before }, sum, option, sign, side ? yes[at]! : no[at]!);
    }
  }

  /** True when nothing up to the bound is larger than what was found, or the effort is spent. */
  private isCutAbove(range: Range, bound: number): boolean {
    if (range.largest !== undefined && bound <= range.largest.value * (1 + 1e-12) + 1e-12) return true;
    if (this.effort.visits-- > 0) return false;
    range.cutAbove = Math.max(range.cutAbove, bound);
    return true;
  }

  private side(set: StateSet, test: StateSet, yes: boolean): StateSet {
    return yes ? this.diagrams.and(set, test) : this.diagrams.minus(set, test);
  }

  private smallest(search: Search, i: number, where: Where, sum: Sum): void {
    const { groups, range } = search;
    if (this.isCutBelow(range, this.leastWith(search, i, sum, 0))) return;
    if (i === groups.length) {
      if (sum.unsure) this.refine(where, range, Infinity, sum.settled);
      else keep(range, Math.hypot(sum.re, sum.im), where);
      return;
    }
    const none = this.leave(where, groups[i]!);
    if (none !== undefined) this.smallest(search, i + 1, none, sum);
    const { options, parts } = groups[i]!;
    for (const { within, sign } of parts) {
      const part = restrict(this.diagrams, this.relation, where, within);
      if (part === undefined) continue;
      for (let k = options.length - 1; k >= 0; k--) {
        const option = options[k]!;
        const next = restrict(this.diagrams, this.relation, part, option.set, option.before);
        if (next === undefined) continue;
        if (option.exact) this.smallest(search, i + 1, next, added(sum, sign * option.re, sign * option.im));
        else if (option.tree) this.smallestBelow(search, i, next, sum, option, sign, option.tree.volts.shape.root);
        else this.smallest(search, i + 1, next, unsettled(sum, option.hi));
      }
    }
  }

  /** Down the tree of an option's load, smaller volts first. */
  private smallestBelow(
    search: Search,
    i: number,
    where: Where,
    sum: Sum,
    option: Option,
    sign: 1 | -1,
    at: number,
  ): void {
    const { volts, yRe, yIm } = option.tree!;
    if (at < 0) {
      const amps = ampsAt(option, at);
      if (amps !== undefined) this.smallest(search, i + 1, where, added(sum, sign * amps.re, sign * amps.im));
      return;
    }
    const scale = Math.hypot(yRe, yIm);
    const alone = !sum.unsure && sum.re === 0 && sum.im === 0 && i + 1 === search.groups.length;
    const least = alone
      ? volts.least(at) * scale
      : this.leastWith(search, i + 1, sum, Math.min(option.hi, volts.most(at) * scale));
    if (this.isCutBelow(search.range, least)) return;
    const { yes, no } = volts.shape;
    const yesFirst = volts.least(yes[at]!) <= volts.least(no[at]!);
    for (const side of yesFirst ? [true, false] : [false, true]) {
      const set = this.side(where.set, volts.testAt(at), side);
      if (set === EMPTY) continue;
      this.smallestBelow(search, i, { set, before: where.before }, sum, option, sign, side ? yes[at]! : no[at]!);
    }
  }

  /** The least that the sum can come to: the groups from `i` on and `against` take away what they can. */
  private leastWith({ groups }: Search, i: number, { re, im, unsure }: Sum, against: number): number {
    const size = Math.hypot(re, im);
    if (unsure || size === 0) return 0;
    // The rest can take away no more than its components against the sum so far.
    let bound = size - against;
    for (let k = i; k < groups.length && bound > 0; k++) {
      let worst = 0;
      for (const option of groups[k]!.options) {
        const along = (option.re * re + option.im * im) / size;
        for (const { sign } of groups[k]!.parts) worst = Math.min(worst, option.exact ? sign * along : -option.hi);
      }
      bound += worst;
    }
    return Math.max(bound, 0);
  }

  private isCutBelow(range: Range, bound: number): boolean {
    if (range.smallest !== undefined && bound >= range.smallest.value * (1 - 1e-12) - 1e-12) return true;
    if (this.effort.visits-- > 0) return false;
    range.cutBelow = Math.min(range.cutBelow, bound);
    return true;
  }

  private leave(where: Where, group: Group): Where | undefined {
    const set = this.diagrams.minus(where.set, group.any);
    return set === EMPTY ? undefined : { set, before: where.before };
  }
}

interface Search {
  readonly groups: readonly Ranked[];
  /** Largest magnitude of all groups from an index on. */
  readonly suffix: Float64Array;
  readonly range: Range;
}

/** The sum over the groups so far. */
interface Sum {
  readonly re: number;
  readonly im: number;
  /** Magnitudes of unknown direction, besides the phasor. */
  readonly loose: number;
  /** The value is not known by the sum. */
  readonly unsure: boolean;
  /** Every load so far has one current in all the states. */
  readonly settled: boolean;
}

/** One more phasor; where directions say nothing (`unsure`) its magnitude. */
function added(sum: Sum, re: number, im: number): Sum {
  return sum.unsure ? { ...sum, loose: sum.loose + Math.hypot(re, im) } : { ...sum, re: sum.re + re, im: sum.im + im };
}

function unsettled({ re, im, loose }: Sum, most: number): Sum {
  return { re: 0, im: 0, loose: loose + Math.hypot(re, im) + most, unsure: true, settled: false };
}

/** Amps at an end of the option's tree; undefined when the end is none of the option's. */
function ampsAt({ tree, hi }: Option, at: number): { re: number; im: number } | undefined {
  const { volts, yRe, yIm } = tree!;
  const phasor = volts.phasorAt(at);
  if (phasor === undefined) return undefined;
  const re = phasor.re * yRe - phasor.im * yIm;
  const im = phasor.re * yIm + phasor.im * yRe;
  return Math.hypot(re, im) > hi * (1 + 1e-9) ? undefined : { re, im };
}

/** The pairs of `where` with the state in `set` and the state before it in `before`; undefined when there are none. */
export function restrict(
  diagrams: Diagrams,
  relation: number,
  where: Where,
  set: StateSet,
  before?: StateSet,
): Where | undefined {
  let after = diagrams.and(where.set, set);
  if (after === EMPTY) return undefined;
  if (before === undefined || relation < 0) return { set: after, before: where.before };
  const earlier = diagrams.and(where.before, before);
  after = diagrams.and(after, diagrams.move(earlier, relation));
  return after === EMPTY ? undefined : { set: after, before: earlier };
}

export function emptyRange(): Range {
  return { cutAbove: -Infinity, cutBelow: Infinity };
}

/** Notes a value that states of the set have. */
export function keep(range: Range, value: number, { set, before }: Where): void {
  if (Number.isNaN(value)) return;
  if (range.largest === undefined || value > range.largest.value) range.largest = { value, set, before };
  if (range.smallest === undefined || value < range.smallest.value) range.smallest = { value, set, before };
}

/** Notes that values were left out: none above `bound`, none below `least`. */
export function cut(range: Range, bound: number, least = 0): void {
  range.cutAbove = Math.max(range.cutAbove, bound);
  range.cutBelow = Math.min(range.cutBelow, least);
}

/** True when no value from `least` to `bound` could extend the range. */
export function isWide(range: Range, bound: number, least = 0): boolean {
  return (
    range.smallest !== undefined &&
    range.largest !== undefined &&
    least >= range.smallest.value * (1 - 1e-12) - 1e-12 &&
    bound <= range.largest.value * (1 + 1e-12) + 1e-12
  );
}
