/**
 * Smallest and largest of a sum of phasors over a set of states: branch and bound. Each group is one load, each option of it something
 * added with the states that have it; a state takes one option of each group, or none (nothing added).
 *
 * First each group takes an option; then the trees of all loads whose option is a tree are gone down together: a test that several of
 * them make is made once, so that loads that depend on each other are never thought to be at their largest in different states.
 *
 * For what a contact makes, states come in pairs (before, after) linked by a move of one control: an option may also say
 * where the state before must be.
 */
import { type Box, farthest, hull, isNowhere, nearest, ORIGIN, sum as sumOf, turned } from "./boxes.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { Option, Turned } from "./options.ts";
import { type Effort, isNotLarger, isNotSmaller, keep, type Range, restrict, type Where } from "./range.ts";

/** Works out the values in states in which some volts are not told, and extends the range by them. No value there is above `bound`. */
export type ByLook = (where: Where, range: Range, bound: number) => void;

/**
 * One load. In the states of a part it adds what the first option that has the state says, times `factor`; nothing where none has.
 * Parts exclude each other.
 */
export interface Group {
  readonly parts: readonly { readonly within: StateSet; readonly factor: number }[];
  /** Largest first. */
  readonly options: readonly Option[];
  /** States of some part and some option. */
  readonly any: StateSet;
}

export function groupOf(diagrams: Diagrams, parts: Group["parts"], options: readonly Option[], fed: StateSet): Group {
  const within = parts.reduce((set, part) => diagrams.or(set, part.within), EMPTY);
  return { parts, options, any: diagrams.and(fed, within) };
}

/** Parts of what is added in some states and taken away in others. */
export function signedParts(plus: StateSet, minus: StateSet): Group["parts"] {
  const parts = [
    { within: plus, factor: 1 },
    { within: minus, factor: -1 },
  ];
  return parts.filter(({ within }) => within !== EMPTY);
}

/** States in which the sum is a phasor and the volts of some loads, each turned; a load without volts adds nothing. */
export interface Case {
  readonly set: StateSet;
  readonly re: number;
  readonly im: number;
  readonly adds: readonly Turned[];
}

interface Ranked extends Group {
  readonly most: number;
  /** Where all that it can add lies. */
  readonly box: Box;
}

interface Search {
  readonly up: boolean;
  readonly groups: readonly Ranked[];
  /** Largest magnitude of all groups from an index on, and where their sum lies. */
  readonly suffix: Float64Array;
  readonly boxes: readonly Box[];
  readonly range: Range;
  readonly byLook: ByLook;
}

/** The volts of a load, turned, and how far down its tree they are known. */
interface Pending extends Turned {
  readonly at: number;
  /** True when states in which the load has no volts are among those looked at. */
  readonly orNone: boolean;
}

/** The sum over the groups so far. */
interface Sum {
  readonly re: number;
  readonly im: number;
  readonly pending: readonly Pending[];
}

const NOTHING: Sum = { re: 0, im: 0, pending: [] };
const NO_SUFFIX = new Float64Array(1);

export class SumSearch {
  private readonly diagrams: Diagrams;
  private readonly effort: Effort;
  /** The move from the state before; -1 when states do not come in pairs. */
  private readonly relation: number;

  constructor(diagrams: Diagrams, effort: Effort, relation = -1) {
    this.diagrams = diagrams;
    this.effort = effort;
    this.relation = relation;
  }

  /** Extends `range` by the values that the sum takes. */
  run(where: Where, groups: readonly Group[], range: Range, byLook: ByLook): void {
    if (where.set === EMPTY) return;
    const kept: Ranked[] = [];
    for (const group of groups) {
      const ranked = this.ranked(where, group);
      if (ranked !== undefined) kept.push(ranked);
    }
    kept.sort((a, b) => b.most - a.most);
    const suffix = new Float64Array(kept.length + 1);
    const boxes: Box[] = new Array(kept.length + 1);
    boxes[kept.length] = ORIGIN;
    for (let i = kept.length - 1; i >= 0; i--) {
      suffix[i] = suffix[i + 1]! + kept[i]!.most;
      boxes[i] = sumOf(boxes[i + 1]!, kept[i]!.box);
    }
    for (const up of [true, false]) this.choose({ up, groups: kept, suffix, boxes, range, byLook }, 0, where, NOTHING);
  }

  /** Extends `range` by the values that the cases have in states of `where`. */
  cases(where: Where, cases: readonly Case[], range: Range, byLook: ByLook): void {
    for (const up of [true, false]) {
      const search: Search = { up, groups: [], suffix: NO_SUFFIX, boxes: [ORIGIN], range, byLook };
      const all = cases.map(({ set, re, im, adds }) => {
        const pending = adds.map((one): Pending => ({ ...one, at: one.volts.shape.root, orNone: true }));
        const sum: Sum = { re, im, pending };
        return { set, sum, bound: boundOf(search, 0, sum) };
      });
      all.sort((a, b) => (up ? b.bound - a.bound : a.bound - b.bound));
      for (const { set, sum, bound } of all) if (!this.isCut(search, bound)) this.descend(search, where, sum, set);
    }
  }

  /** How much the load can add in the states; undefined when it adds nothing. */
  private ranked(where: Where, group: Group): Ranked | undefined {
    const { diagrams } = this;
    const { parts, options, any } = group;
    if (!diagrams.meets(where.set, any)) return undefined;
    let most = 0;
    let box: Box | undefined = diagrams.isSubset(where.set, any) ? undefined : ORIGIN;
    for (const { within, factor } of parts) {
      const set = diagrams.and(where.set, within);
      if (set === EMPTY) continue;
      for (const option of options) {
        if (!diagrams.meets(set, option.set)) continue;
        most = Math.max(most, option.most * Math.abs(factor));
        const own = turned(option.box, factor, 0);
        box = box === undefined ? own : hull(box, own);
      }
    }
    return most > 0 && box !== undefined ? { ...group, most, box } : undefined;
  }

  /** Lets the groups from `i` on take an option each. */
  private choose(search: Search, i: number, where: Where, sum: Sum): void {
    if (this.isCut(search, boundOf(search, i, sum))) return;
    const group = search.groups[i];
    if (group === undefined) {
      this.descend(search, where, sum);
      return;
    }
    const none = this.diagrams.minus(where.set, group.any);
    const leave = (): void => {
      if (none !== EMPTY) this.choose(search, i + 1, { set: none, before: where.before }, sum);
    };
    if (!search.up) leave();
    const { options } = group;
    for (const { within, factor } of group.parts) {
      const part = restrict(this.diagrams, this.relation, where, within);
      if (part === undefined) continue;
      for (let k = 0; k < options.length; k++) {
        const option = options[search.up ? k : options.length - 1 - k]!;
        const next = restrict(this.diagrams, this.relation, part, option.set, option.before);
        if (next !== undefined) this.choose(search, i + 1, next, added(sum, option, factor));
      }
    }
    if (search.up) leave();
  }

  /**
   * Goes down the trees of all loads whose volts are not known yet. The place itself is not cut off.
   *
   * @param tests the states that the tests on the way here allow: kept apart from `where`, which is large, so that what is built at each
   * step is small
   */
  private descend(search: Search, where: Where, sum: Sum, tests: StateSet = FULL): void {
    const { pending } = sum;
    let widest: Pending | undefined;
    let width = -1;
    for (const one of pending) {
      if (one.at < 0) continue;
      const { reLo, reHi, imLo, imHi } = boxOf(one);
      const wide = Math.abs(reHi - reLo) + Math.abs(imHi - imLo);
      if (wide > width || widest === undefined) {
        widest = one;
        width = wide;
      }
    }
    if (widest === undefined) {
      this.end(search, where, sum, tests);
      return;
    }
    const { diagrams } = this;
    const test = widest.volts.testAt(widest.at);
    const yes = this.moved(search, sum, test, true);
    const no = this.moved(search, sum, test, false);
    const yesFirst = search.up ? yes.bound >= no.bound : yes.bound <= no.bound;
    for (const side of yesFirst ? [yes, no] : [no, yes]) {
      const narrowed = side === yes ? diagrams.and(tests, test) : diagrams.minus(tests, test);
      if (!diagrams.meets(where.set, narrowed) || this.isCut(search, side.bound)) continue;
      this.descend(search, where, side.sum, narrowed);
    }
  }

  /** The sum with every tree that makes the test gone down. */
  private moved(search: Search, sum: Sum, test: StateSet, yes: boolean): { sum: Sum; bound: number } {
    const pending = sum.pending.map((one): Pending => {
      if (one.at < 0 || one.volts.testAt(one.at) !== test) return one;
      const { shape } = one.volts;
      return { ...one, at: (yes ? shape.yes : shape.no)[one.at]! };
    });
    const after = { ...sum, pending };
    return { sum: after, bound: boundOf(search, search.groups.length, after) };
  }

  private end(search: Search, { set, before }: Where, sum: Sum, tests: StateSet): void {
    let { re, im } = sum;
    let told = true;
    for (const { volts, at, yRe, yIm, orNone } of sum.pending) {
      if (orNone && volts.mayBeNone(at)) continue;
      const phasor = volts.phasorAt(at);
      if (phasor === undefined) told = false;
      else {
        re += phasor.re * yRe - phasor.im * yIm;
        im += phasor.re * yIm + phasor.im * yRe;
      }
    }
    const value = Math.hypot(re, im);
    const { up, range } = search;
    if (told && (up ? isNotLarger(range, value) : isNotSmaller(range, value))) return;
    const where: Where = { set: this.diagrams.and(set, tests), before };
    if (told) keep(range, value, where);
    else search.byLook(where, range, up ? boundOf(search, search.groups.length, sum) : Infinity);
  }

  /** True when nothing up to (or down to) the bound extends the range, or the effort is spent. */
  private isCut({ up, range }: Search, bound: number): boolean {
    if (up ? isNotLarger(range, bound) : isNotSmaller(range, bound)) return true;
    if (this.effort.visits-- > 0) return false;
    if (up) range.cutAbove = Math.max(range.cutAbove, bound);
    else range.cutBelow = Math.min(range.cutBelow, bound);
    return true;
  }
}

function added(sum: Sum, { adds }: Option, factor: number): Sum {
  if ("volts" in adds) {
    const { volts, yRe, yIm } = adds;
    const one: Pending = { volts, yRe: factor * yRe, yIm: factor * yIm, at: volts.shape.root, orNone: false };
    return { ...sum, pending: [...sum.pending, one] };
  }
  const re = factor * adds.re;
  const im = factor * adds.im;
  return { ...sum, re: sum.re + re, im: sum.im + im };
}

function boxOf({ volts, at, yRe, yIm, orNone }: Pending): Box {
  const box = turned(volts.box(at), yRe, yIm);
  return orNone && volts.mayBeNone(at) ? hull(box, ORIGIN) : box;
}

/** The most (or the least) that the sum can come to with the groups from `i` on. */
function boundOf({ up, suffix, boxes }: Search, i: number, { re, im, pending }: Sum): number {
  let plain = Math.hypot(re, im) + suffix[i]!;
  let box = boxes[i]!;
  for (const one of pending) {
    plain += one.volts.most(one.at) * Math.hypot(one.yRe, one.yIm);
    box = sumOf(box, boxOf(one));
  }
  // Where a load has no volts at all there is no state either.
  if (isNowhere(box)) return up ? -Infinity : Infinity;
  return up ? Math.min(plain, farthest(box, re, im)) : nearest(box, re, im);
}
