/**
 * Smallest and largest of a sum of phasors over a set of states: branch and bound. Each group is one load, each option of it a
 * current with the states that have it; a state takes one option of each group, or none (0 A).
 */
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";

export interface Option {
  readonly re: number;
  readonly im: number;
  /** Largest and smallest magnitude; both that of the phasor when it is exact. */
  readonly hi: number;
  readonly exact: boolean;
  readonly set: StateSet;
}

export interface Found {
  readonly value: number;
  /** States (after a change, for makes) that have the value. */
  readonly set: StateSet;
}

export interface Range {
  smallest?: Found;
  largest?: Found;
  /** Values above or below which nothing was left out, when the search was cut short. */
  cutAbove: number;
  cutBelow: number;
}

/** Values of a set whose sum is not known by its options: filled into `range`. */
export type Refine = (set: StateSet, range: Range) => void;

interface Group {
  readonly options: readonly Option[];
  readonly any: StateSet;
  readonly most: number;
}

export class SumSearch {
  private readonly diagrams: Diagrams;
  private readonly refine: Refine;
  /** Visits left; shared by all searches of one question. */
  visits: number;

  constructor(diagrams: Diagrams, refine: Refine, visits: number) {
    this.diagrams = diagrams;
    this.refine = refine;
    this.visits = visits;
  }

  /** Extends `range` by the values that the sum takes in the states of `region`. */
  run(region: StateSet, groups: readonly (readonly Option[])[], range: Range): void {
    if (region === EMPTY) return;
    const { diagrams } = this;
    const kept: Group[] = [];
    for (const options of groups) {
      const live = options.filter((option) => diagrams.and(option.set, region) !== EMPTY);
      if (live.length === 0) continue;
      let any: StateSet = EMPTY;
      for (const option of live) any = diagrams.or(any, option.set);
      live.sort((a, b) => b.hi - a.hi);
      kept.push({ options: live, any, most: live[0]!.hi });
    }
    kept.sort((a, b) => b.most - a.most);
    const suffix = new Float64Array(kept.length + 1);
    for (let i = kept.length - 1; i >= 0; i--) suffix[i] = suffix[i + 1]! + kept[i]!.most;
    this.largest(kept, suffix, 0, region, 0, 0, 0, range);
    this.smallest(kept, suffix, 0, region, 0, 0, false, range);
  }

  private largest(
    groups: readonly Group[],
    suffix: Float64Array,
    i: number,
    region: StateSet,
    re: number,
    im: number,
    unsure: number,
    range: Range,
  ): void {
    const bound = Math.hypot(re, im) + unsure + suffix[i]!;
    if (range.largest !== undefined && bound <= range.largest.value * (1 + 1e-12) + 1e-12) return;
    if (this.visits-- <= 0) {
      range.cutAbove = Math.max(range.cutAbove, bound);
      return;
    }
    if (i === groups.length) {
      if (unsure > 0) this.refine(region, range);
      else keep(range, Math.hypot(re, im), region);
      return;
    }
    const { diagrams } = this;
    const { options, any } = groups[i]!;
    for (const option of options) {
      const set = diagrams.and(region, option.set);
      if (set === EMPTY) continue;
      if (option.exact) this.largest(groups, suffix, i + 1, set, re + option.re, im + option.im, unsure, range);
      else this.largest(groups, suffix, i + 1, set, re, im, unsure + option.hi, range);
    }
    const none = diagrams.minus(region, any);
    if (none !== EMPTY) this.largest(groups, suffix, i + 1, none, re, im, unsure, range);
  }

  private smallest(
    groups: readonly Group[],
    suffix: Float64Array,
    i: number,
    region: StateSet,
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
        for (const option of groups[k]!.options)
          worst = Math.min(worst, option.exact ? (option.re * re + option.im * im) / size : -option.hi);
        bound += worst;
      }
      bound = Math.max(bound, 0);
    }
    if (range.smallest !== undefined && bound >= range.smallest.value * (1 - 1e-12) - 1e-12) return;
    if (this.visits-- <= 0) {
      range.cutBelow = Math.min(range.cutBelow, bound);
      return;
    }
    if (i === groups.length) {
      if (unsure) this.refine(region, range);
      else keep(range, size, region);
      return;
    }
    const { diagrams } = this;
    const { options, any } = groups[i]!;
    const none = diagrams.minus(region, any);
    if (none !== EMPTY) this.smallest(groups, suffix, i + 1, none, re, im, unsure, range);
    for (let k = options.length - 1; k >= 0; k--) {
      const option = options[k]!;
      const set = diagrams.and(region, option.set);
      if (set === EMPTY) continue;
      if (option.exact) this.smallest(groups, suffix, i + 1, set, re + option.re, im + option.im, unsure, range);
      else this.smallest(groups, suffix, i + 1, set, re, im, true, range);
    }
  }
}

export function emptyRange(): Range {
  return { cutAbove: -Infinity, cutBelow: Infinity };
}

/** Notes a value that states of the set have. */
export function keep(range: Range, value: number, set: StateSet): void {
  if (Number.isNaN(value)) return;
  if (range.largest === undefined || value > range.largest.value) range.largest = { value, set };
  if (range.smallest === undefined || value < range.smallest.value) range.smallest = { value, set };
}
