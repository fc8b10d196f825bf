/** Smallest and largest found so far, and what was left out. */
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";

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
  /** Visits left for searches that were cut short before and are asked again. */
  again?: number | undefined;
  /** True once something near by decided that is no part of the sum asked about. */
  near?: boolean | undefined;
  /** Visits left until the search stops for others to work; left out: it never does. */
  piece?: number | undefined;
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

/** The range with its values changed by what keeps their order. */
export function changed({ smallest, largest, cutAbove, cutBelow }: Range, by: (value: number) => number): Range {
  return {
    ...(smallest && { smallest: { ...smallest, value: by(smallest.value) } }),
    ...(largest && { largest: { ...largest, value: by(largest.value) } }),
    cutAbove: cutAbove > -Infinity ? by(cutAbove) : cutAbove,
    cutBelow: cutBelow < Infinity ? by(cutBelow) : cutBelow,
  };
}

/** True when no value up to `bound` is larger than what was found. */
export function isNotLarger(range: Range, bound: number): boolean {
  return range.largest !== undefined && bound <= range.largest.value * (1 + 1e-12) + 1e-12;
}

/** True when no value from `least` on is smaller. */
export function isNotSmaller(range: Range, least: number): boolean {
  return range.smallest !== undefined && least >= range.smallest.value * (1 - 1e-12) - 1e-12;
}

/** True when no value from `least` to `bound` could extend the range. */
export function isWide(range: Range, bound: number, least = 0): boolean {
  return isNotSmaller(range, least) && isNotLarger(range, bound);
}
