/**
 * Smallest and largest of a sum of phasors over a set of states. Each group is one load: where it is counted how often, and what it adds
 * there. First each group takes a part and an option (branch and bound); what is left then are trees of volts (`best-first.ts`).
 *
 * For what a contact makes, states come in pairs (before, after) linked by a move of one control: an option may also say
 * where the state before must be.
 *
 * Which parts and options have states in common depends on sets alone: that is kept, and asked again with other volts or ohms it
 * costs no operation on sets.
 */
import {
  type Aim,
  BestFirst,
  type ByLook,
  boundOf,
  doesNotExtend,
  edgeOf,
  type KeptPlaces,
  type Start,
} from "./best-first.ts";
import { times, turned } from "./boxes.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";
import { Kept } from "./kept.ts";
import type { Option, Turned } from "./options.ts";
import { cut, type Effort, type Range, restrict, type Where } from "./range.ts";

/**
 * One load. In the states of a part it adds what the option that has the state says, times `factor`; nothing where none has. Parts exclude
 * each other, and so do options.
 */
export interface Group {
  readonly parts: readonly { readonly within: StateSet; readonly factor: number }[];
  readonly options: readonly Option[];
  /** States in which the load has any volts. */
  readonly fed: StateSet;
  /** What it adds at most, once worked out. */
  reach?: Reach;
  /** All of its sets and trees, as numbers, once told. */
  content?: readonly number[];
}

/** The most that something adds, then where that lies: least and most of re, least and most of im. In a row, since there are very many. */
type Reach = readonly number[];

/** Parts of what is added in some states and taken away in others. */
export function signedParts(plus: StateSet, minus: StateSet): Group["parts"] {
  const parts = [
    { within: plus, factor: 1 },
    { within: minus, factor: -1 },
  ];
  return parts.filter(({ within }) => within !== EMPTY);
}

/** States in which the sum is a phasor and some volts (of loads, of joints), each turned; where there are none, nothing is added. */
export interface Case {
  readonly re: number;
  readonly im: number;
  readonly adds: readonly (Turned & {
    /** States in which there are any volts. */
    readonly fed: StateSet;
  })[];
  readonly within: StateSet;
  /** No sum of the case is larger, found out when it is asked for. */
  readonly most?: () => number;
}

type CaseStart = Start | "no states";

/** A load that has taken a part and an option; with `option` -1 it adds nothing. */
interface Choice extends KeptPlaces {
  readonly where: Where;
  readonly allowed: StateSet;
  readonly part: number;
  readonly option: number;
  /** What the next load can take. */
  next?: readonly Choice[];
}

/** What of a search depends on sets alone. */
interface KeptSearch {
  /** Loads that add the same part and option in all the states, by their place among the groups. */
  readonly fixed: readonly number[];
  /** The others that add anything, in the order in which they choose, with the parts that they have. */
  readonly open: readonly { readonly group: number; readonly parts: readonly number[] }[];
  readonly root: Choice;
}

/** Where the same question is asked in each analysis: what loads it was asked for last, and what was kept about it. */
export interface Asked {
  groups?: readonly Group[];
  kept?: KeptSearch;
}

interface KeptCase extends KeptPlaces {
  /** Its states among those asked about. */
  readonly set: StateSet;
  /** Loads that have volts there, by their place in the case. */
  readonly adds: readonly number[];
}

/** Searches kept from one analysis to the next. */
export class SearchStore {
  readonly searches = new Kept<KeptSearch>(8_000);
  readonly cases = new Kept<KeptCase>(16_000);
}

interface Search {
  readonly groups: readonly Group[];
  readonly open: KeptSearch["open"];
  /** What all open groups from an index on add at most, in fives as in `Reach`. */
  readonly suffix: readonly number[];
  readonly aims: readonly Aim[];
  readonly starts: Start[];
  readonly adds: Turned[];
}

export class SumSearch {
  private readonly diagrams: Diagrams;
  private readonly store: SearchStore;
  private readonly effort: Effort;
  /** The move from the state before; -1 when states do not come in pairs. */
  private readonly relation: number;

  constructor(diagrams: Diagrams, store: SearchStore, effort: Effort, relation = -1) {
    this.diagrams = diagrams;
    this.store = store;
    this.effort = effort;
    this.relation = relation;
  }

  /**
   * Extends `range` by the values that the sum takes.
   *
   * @param asked a place of its own for these states and places of the groups
   */
  run(where: Where, groups: readonly Group[], range: Range, byLook: ByLook, asked?: Asked): void {
    if (where.set === EMPTY) return;
    const aims: readonly Aim[] = [
      { up: true, range, byLook },
      { up: false, range, byLook },
    ];
    // Mostly what was found already takes in all that these loads could ever add.
    if (!this.mayExtend(groups, aims)) return;
    const { fixed, open, root } = this.kept(where, groups, asked);
    const adds: Turned[] = [];
    let most = 0;
    let reLo = 0;
    let reHi = 0;
    let imLo = 0;
    let imHi = 0;
    for (const index of fixed) {
      const group = groups[index]!;
      const { factor } = group.parts[0]!;
      const option = group.options[0]!;
      const { volts, yRe, yIm } = option;
      adds.push(factor === 1 ? option : { volts, yRe: factor * yRe, yIm: factor * yIm });
      const reach = reachOf(group);
      most += reach[0]!;
      reLo += reach[1]!;
      reHi += reach[2]!;
      imLo += reach[3]!;
      imHi += reach[4]!;
    }
    const suffix: number[] = [];
    for (let k = 5 * open.length; k >= 0; k--) suffix.push(0);
    suffix.push(0, 0, 0, 0);
    for (let i = open.length - 1; i >= 0; i--) {
      const { group, parts } = open[i]!;
      const reach = reachOfSome(groups[group]!, parts);
      for (let k = 5 * i; k < 5 * i + 5; k++) suffix[k] = suffix[k + 5]! + reach[k - 5 * i]!;
    }
    const starts: Start[] = [];
    const search: Search = { groups, open, suffix, aims, starts, adds };
    this.choose(search, 0, root, most, reLo, reHi, imLo, imHi);
    for (const aim of aims) {
      const trees = new BestFirst(this.diagrams, this.effort, aim);
      for (const start of starts) trees.add(start);
      trees.run();
    }
  }

  private kept(where: Where, groups: readonly Group[], asked: Asked | undefined): KeptSearch {
    if (asked?.kept !== undefined && sameContents(asked.groups!, groups)) {
      asked.groups = groups;
      return asked.kept;
    }
    const key = [this.relation, where.set, where.before];
    for (const group of groups) key.push(...(group.content ??= contentOf(group)));
    const kept = this.store.searches.of(key, () => this.prepared(where, groups));
    if (asked !== undefined) {
      asked.groups = groups;
      asked.kept = kept;
    }
    return kept;
  }

  /** Extends `range` by the values that the cases have in states of `where`. */
  cases(where: Where, cases: readonly Case[], range: Range, byLook: ByLook): void {
    const starts: (CaseStart | undefined)[] = [];
    const bounds = new Float64Array(cases.length);
    for (const up of [true, false]) {
      const aim: Aim = { up, range, byLook };
      const order: number[] = [];
      // Nothing is smaller than nothing.
      if (!up && doesNotExtend(aim, 0)) continue;
      for (let i = 0; i < cases.length; i++) {
        bounds[i] = boundOf(up, cases[i]!);
        if (!doesNotExtend(aim, bounds[i]!)) order.push(i);
      }
      order.sort((a, b) => (up ? bounds[b]! - bounds[a]! : bounds[a]! - bounds[b]!));
      for (const i of order) {
        if (doesNotExtend(aim, bounds[i]!)) break;
        starts[i] ??= this.startOf(where, cases[i]!);
        this.searchCase(aim, starts[i]!, cases[i]!);
      }
    }
  }

  /** Extends `range` by the largest value that the case has in states of `where`. */
  largest(where: Where, one: Case, range: Range, byLook: ByLook): void {
    this.searchCase({ up: true, range, byLook }, this.startOf(where, one), one);
  }

  private searchCase(aim: Aim, start: CaseStart, { most }: Case): void {
    if (start === "no states" || doesNotExtend(aim, boundOf(aim.up, start))) return;
    const best = new BestFirst(this.diagrams, this.effort, aim, aim.up ? most?.() : undefined);
    best.add(start);
    best.run();
  }

  private startOf(where: Where, one: Case): CaseStart {
    const { re, im, adds } = one;
    const kept = this.keptCase(where, one);
    if (kept.set === EMPTY) return "no states";
    return { where, allowed: kept.set, re, im, adds: kept.adds.map((index) => adds[index]!), kept };
  }

  private keptCase(where: Where, { adds, within }: Case): KeptCase {
    const { diagrams } = this;
    const key = [where.set, within];
    for (const { fed, volts } of adds) key.push(fed, volts.shape.number);
    return this.store.cases.of(key, () => {
      const set = diagrams.meets(where.set, within) ? within : EMPTY;
      return { set, adds: [...adds.keys()].filter((index) => diagrams.meets(set, adds[index]!.fed)) };
    });
  }

  private mayExtend(groups: readonly Group[], aims: readonly Aim[]): boolean {
    let reLo = 0;
    let reHi = 0;
    let imLo = 0;
    let imHi = 0;
    let most = 0;
    for (const group of groups) {
      const reach = reachOf(group);
      most += reach[0]!;
      reLo += reach[1]!;
      reHi += reach[2]!;
      imLo += reach[3]!;
      imHi += reach[4]!;
    }
    return aims.some((aim) => !doesNotExtend(aim, edgeOf(aim.up, reLo, reHi, imLo, imHi, most)));
  }

  private prepared(where: Where, groups: readonly Group[]): KeptSearch {
    const { diagrams } = this;
    const fixed: number[] = [];
    const open: { group: number; parts: readonly number[]; most: number }[] = [];
    groups.forEach((group, index) => {
      const parts = [...group.parts.keys()].filter((part) => {
        const { within } = group.parts[part]!;
        const here = diagrams.isSubset(where.set, within) ? where.set : diagrams.and(where.set, within);
        return here !== EMPTY && diagrams.meets(here, group.fed);
      });
      if (parts.length === 0) return;
      if (group.parts.length === 1 && this.isAlways(where, group)) fixed.push(index);
      else open.push({ group: index, parts, most: reachOfSome(group, parts)[0]! });
    });
    open.sort((a, b) => b.most - a.most);
    const root: Choice = { where, allowed: FULL, part: -1, option: -1 };
    return { fixed, open: open.map(({ group, parts }) => ({ group, parts })), root };
  }

  /** True when a load of one part adds the same in all the states. */
  private isAlways({ set: all }: Where, { parts, options }: Group): boolean {
    const option = options[0]!;
    if (options.length > 1 || option.before !== undefined || option.set !== FULL) return false;
    return this.diagrams.isSubset(all, parts[0]!.within);
  }

  /** Lets the groups from `i` on take a part and an option each. The numbers: what is taken already adds at most, as in `Reach`. */
  private choose(
    search: Search,
    i: number,
    choice: Choice,
    most: number,
    reLo: number,
    reHi: number,
    imLo: number,
    imHi: number,
  ): void {
    const { open, groups, adds } = search;
    if (i === open.length) {
      const { where, allowed } = choice;
      search.starts.push({ where, allowed, re: 0, im: 0, adds: adds.slice(), kept: choice });
      return;
    }
    const group = groups[open[i]!.group]!;
    if (choice.next === undefined) {
      const next = this.expanded(choice, group, open[i]!.parts);
      choice.next = next;
      if (next.length > 1) this.effort.visits -= next.length;
    }
    const { next } = choice;
    for (const one of next) {
      if (one.option < 0) {
        if (next.length > 1 && this.isCut(search, i + 1, one, most, reLo, reHi, imLo, imHi)) continue;
        this.choose(search, i + 1, one, most, reLo, reHi, imLo, imHi);
        continue;
      }
      const { factor } = group.parts[one.part]!;
      const option = group.options[one.option]!;
      const { size, box } = (option.reach ??= reachOfOption(option));
      const size1 = most + size * Math.abs(factor);
      const reLo1 = reLo + times(factor < 0 ? box.reHi : box.reLo, factor);
      const reHi1 = reHi + times(factor < 0 ? box.reLo : box.reHi, factor);
      const imLo1 = imLo + times(factor < 0 ? box.imHi : box.imLo, factor);
      const imHi1 = imHi + times(factor < 0 ? box.imLo : box.imHi, factor);
      if (next.length > 1 && this.isCut(search, i + 1, one, size1, reLo1, reHi1, imLo1, imHi1)) continue;
      const { volts, yRe, yIm } = option;
      adds.push(factor === 1 ? option : { volts, yRe: factor * yRe, yIm: factor * yIm });
      this.choose(search, i + 1, one, size1, reLo1, reHi1, imLo1, imHi1);
      adds.pop();
    }
  }

  /** What a load can take after the others have chosen. */
  private expanded({ where, allowed }: Choice, group: Group, parts: readonly number[]): Choice[] {
    const { diagrams } = this;
    const next: Choice[] = [];
    let none = allowed;
    for (const part of parts) {
      const { within } = group.parts[part]!;
      group.options.forEach(({ set, before }, option) => {
        const both = diagrams.and(within, set);
        const here = diagrams.and(allowed, both);
        // Options that ask for the state before share out the pairs of their states between them.
        none = diagrams.minus(none, both);
        const pairs = before === undefined ? where : restrict(diagrams, this.relation, where, FULL, before);
        if (here === EMPTY || pairs === undefined || !diagrams.meets(pairs.set, here)) return;
        next.push({ where: pairs, allowed: here, part, option });
      });
    }
    if (none !== EMPTY && diagrams.meets(where.set, none)) next.push({ where, allowed: none, part: -1, option: -1 });
    return next;
  }

  /** True when nothing from here extends the range, or the effort is spent. */
  private isCut(
    { aims, suffix }: Search,
    i: number,
    choice: Choice,
    most: number,
    reLo: number,
    reHi: number,
    imLo: number,
    imHi: number,
  ): boolean {
    const at = 5 * i;
    const size = most + suffix[at]!;
    const left = reLo + suffix[at + 1]!;
    const right = reHi + suffix[at + 2]!;
    const low = imLo + suffix[at + 3]!;
    const high = imHi + suffix[at + 4]!;
    const above = edgeOf(true, left, right, low, high, size);
    const below = edgeOf(false, left, right, low, high, size);
    const [up, down] = [aims[0]!, aims[1]!];
    if (doesNotExtend(up, above) && doesNotExtend(down, below)) return true;
    // What was chosen once is chosen again for nothing.
    if (this.effort.visits > 0 || choice.next !== undefined) return false;
    cut(up.range, above, below);
    return true;
  }
}

/** Sets and trees of a group, as numbers, with what would be read as another group never in its place. */
function contentOf({ parts, options, fed }: Group): number[] {
  const content = [parts.length, options.length, fed];
  for (const { within } of parts) content.push(within);
  for (const { volts, set, before } of options) content.push(volts.shape.number, set, before ?? -1);
  return content;
}

/** True for groups of the same sets and trees, one by one: what `contentOf` tells is equal. */
function sameContents(some: readonly Group[], others: readonly Group[]): boolean {
  if (some.length !== others.length) return false;
  for (let i = 0; i < some.length; i++) if (!sameContent(some[i]!, others[i]!)) return false;
  return true;
}

function sameContent(a: Group, b: Group): boolean {
  if (a === b) return true;
  if (a.fed !== b.fed || a.parts.length !== b.parts.length || a.options.length !== b.options.length) return false;
  for (let i = 0; i < a.parts.length; i++) if (a.parts[i]!.within !== b.parts[i]!.within) return false;
  for (let i = 0; i < a.options.length; i++) {
    const one = a.options[i]!;
    const other = b.options[i]!;
    if (one.set !== other.set || one.before !== other.before) return false;
    if (one.volts.shape.number !== other.volts.shape.number) return false;
  }
  return true;
}

function reachOf(group: Group): Reach {
  return (group.reach ??= reachOfParts(group));
}

/** What the load adds at most in some of its parts. */
function reachOfSome(group: Group, parts: readonly number[]): Reach {
  return parts.length === group.parts.length ? reachOf(group) : reachOfParts(group, parts);
}

function reachOfOption({ volts, yRe, yIm }: Option): NonNullable<Option["reach"]> {
  return { size: volts.rootMost * Math.hypot(yRe, yIm), box: turned(volts.rootBox, yRe, yIm) };
}

/** What the load adds at most in some of its parts; left out: in all. Other states: nothing. */
function reachOfParts({ parts, options }: Group, some?: readonly number[]): Reach {
  let most = 0;
  let reLo = 0;
  let reHi = 0;
  let imLo = 0;
  let imHi = 0;
  const many = some === undefined ? parts.length : some.length;
  for (let p = 0; p < many; p++) {
    const { factor } = parts[some === undefined ? p : some[p]!]!;
    for (const option of options) {
      const { size, box } = (option.reach ??= reachOfOption(option));
      const below = factor < 0;
      most = Math.max(most, size * Math.abs(factor));
      reLo = Math.min(reLo, times(below ? box.reHi : box.reLo, factor));
      reHi = Math.max(reHi, times(below ? box.reLo : box.reHi, factor));
      imLo = Math.min(imLo, times(below ? box.imHi : box.imLo, factor));
      imHi = Math.max(imHi, times(below ? box.imLo : box.imHi, factor));
    }
  }
  return [most, reLo, reHi, imLo, imHi];
}
