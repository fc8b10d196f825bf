/**
 * Smallest and largest of a sum of phasors over a set of states: branch and bound. Each group is one load, each option of it a
 * current with the states that have it; a state takes one option of each group, or none (0 A).
 *
 * For what a contact makes, states come in pairs (before, after) linked by a move of one control: an option may also say
 * where the state before must be.
 */
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";

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
 */
export type Refine = (where: Where, range: Range, bound: number) => void;

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
    this.largest(kept, suffix, 0, where, 0, 0, 0, unsure, range);
    this.smallest(kept, 0, where, 0, 0, unsure, range);
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

  private largest(
    groups: readonly Ranked[],
    suffix: Float64Array,
    i: number,
    where: Where,
    re: number,
    im: number,
    loose: number,
    unsure: boolean,
    range: Range,
  ): void {
    const bound = Math.hypot(re, im) + loose + suffix[i]!;
    if (range.largest !== undefined && bound <= range.largest.value * (1 + 1e-12) + 1e-12) return;
    if (this.effort.visits-- <= 0) {
      range.cutAbove = Math.max(range.cutAbove, bound);
      return;
    }
    if (i === groups.length) {
      if (unsure) this.refine(where, range, bound);
      else keep(range, Math.hypot(re, im), where);
      return;
    }
    for (const { within, sign } of groups[i]!.parts) {
      const part = restrict(this.diagrams, this.relation, where, within);
      if (part === undefined) continue;
      for (const option of groups[i]!.options) {
        const next = restrict(this.diagrams, this.relation, part, option.set, option.before);
        if (next === undefined) continue;
        if (option.exact && !unsure)
          this.largest(groups, suffix, i + 1, next, re + sign * option.re, im + sign * option.im, loose, false, range);
        else this.largest(groups, suffix, i + 1, next, 0, 0, loose + Math.hypot(re, im) + option.hi, true, range);
      }
    }
    const none = this.leave(where, groups[i]!);
    if (none !== undefined) this.largest(groups, suffix, i + 1, none, re, im, loose, unsure, range);
  }

  private smallest(
    groups: readonly Ranked[],
    i: number,
    where: Where,
    re: number,
    im: number,
    unsure: boolean,
    range: Range,
  ): void {
    const size = Math.hypot(re, im);
    let bound = 0;
    if (!unsure && size > 0) {
      // The rest can take away no more than its components against the sum so far.
      bound = size;
      for (let k = i; k < groups.length && bound > 0; k++) {
        let worst = 0;
        for (const option of groups[k]!.options) {
          const along = (option.re * re + option.im * im) / size;
          for (const { sign } of groups[k]!.parts) worst = Math.min(worst, option.exact ? sign * along : -option.hi);
        }
        bound += worst;
      }
      bound = Math.max(bound, 0);
    }
    if (range.smallest !== undefined && bound >= range.smallest.value * (1 - 1e-12) - 1e-12) return;
    if (this.effort.visits-- <= 0) {
      range.cutBelow = Math.min(range.cutBelow, bound);
      return;
    }
    if (i === groups.length) {
      if (unsure) this.refine(where, range, Infinity);
      else keep(range, size, where);
      return;
    }
    const none = this.leave(where, groups[i]!);
    if (none !== undefined) this.smallest(groups, i + 1, none, re, im, unsure, range);
    const { options, parts } = groups[i]!;
    for (const { within, sign } of parts) {
      const part = restrict(this.diagrams, this.relation, where, within);
      if (part === undefined) continue;
      for (let k = options.length - 1; k >= 0; k--) {
        const option = options[k]!;
        const next = restrict(this.diagrams, this.relation, part, option.set, option.before);
        if (next === undefined) continue;
        if (option.exact)
          this.smallest(groups, i + 1, next, re + sign * option.re, im + sign * option.im, unsure, range);
        else this.smallest(groups, i + 1, next, re, im, true, range);
      }
    }
  }

  private leave(where: Where, group: Group): Where | undefined {
    const set = this.diagrams.minus(where.set, group.any);
    return set === EMPTY ? undefined : { set, before: where.before };
  }
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
