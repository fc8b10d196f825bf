/**
 * Smallest and largest of a sum of phasors over a set of states. Each group is one load: where it is counted how often, and what it adds
 * there. First each group takes a part and an option (branch and bound); what is left then are trees of volts (`best-first.ts`).
 *
 * For what a contact makes, states come in pairs (before, after) linked by a move of one control: an option may also say
 * where the state before must be.
 */
import { type Aim, BestFirst, type ByLook, boundOf, doesNotExtend, type Start } from "./best-first.ts";
import { type Box, hull, ORIGIN, sum as sumOf, turned } from "./boxes.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";
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
  /** The most that it adds and where it lies, once worked out. */
  reach?: [number, Box];
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
  readonly re: number;
  readonly im: number;
  readonly adds: readonly (Turned & { readonly fed: StateSet })[];
  /** The states: those in both of some pair. */
  readonly pairs: readonly (readonly [StateSet, StateSet])[];
}

interface Ranked extends Group {
  readonly most: number;
  /** Where all that it can add lies. */
  readonly box: Box;
}

interface Search {
  readonly groups: readonly Ranked[];
  /** Largest magnitude of all groups from an index on, and where their sum lies. */
  readonly suffix: Float64Array;
  readonly boxes: readonly Box[];
  readonly aims: readonly Aim[];
  readonly starts: Start[];
}

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
    const aims: readonly Aim[] = [
      { up: true, range, byLook },
      { up: false, range, byLook },
    ];
    // Mostly what was found already takes in all that these loads could ever add.
    const [size, box] = reachOf(groups);
    if (aims.every((aim) => doesNotExtend(aim, boundOf(aim.up, NOTHING, undefined, box, size)))) return;
    const open: Ranked[] = [];
    const fixed: Turned[] = [];
    for (const group of groups) {
      const ranked = this.ranked(where, group);
      if (ranked === undefined) continue;
      const always = this.always(where, ranked);
      if (always === undefined) open.push(ranked);
      else fixed.push(always);
    }
    open.sort((a, b) => b.most - a.most);
    const suffix = new Float64Array(open.length + 1);
    const boxes: Box[] = new Array(open.length + 1);
    boxes[open.length] = ORIGIN;
    for (let i = open.length - 1; i >= 0; i--) {
      suffix[i] = suffix[i + 1]! + open[i]!.most;
      boxes[i] = sumOf(boxes[i + 1]!, open[i]!.box);
    }
    const starts: Start[] = [];
    const first: Start = { where, allowed: FULL, re: 0, im: 0, adds: fixed };
    this.choose({ groups: open, suffix, boxes, aims, starts }, 0, first);
    for (const aim of aims) {
      const trees = new BestFirst(this.diagrams, this.effort, aim);
      for (const start of starts) trees.add(start);
      trees.run();
    }
  }

  /** Extends `range` by the values that the cases have in states of `where`. */
  cases(where: Where, cases: readonly Case[], range: Range, byLook: ByLook): void {
    const { diagrams } = this;
    const sets = new Map<Case, StateSet>();
    for (const up of [true, false]) {
      const aim: Aim = { up, range, byLook };
      const ranked = cases.map((one) => ({ one, bound: boundOf(up, one) }));
      ranked.sort((a, b) => (up ? b.bound - a.bound : a.bound - b.bound));
      for (const { one, bound } of ranked) {
        if (doesNotExtend(aim, bound)) break;
        let set = sets.get(one);
        if (set === undefined) {
          set = one.pairs.reduce((all, [p, q]) => diagrams.or(all, diagrams.and(p, q)), EMPTY);
          if (!diagrams.meets(where.set, set)) set = EMPTY;
          sets.set(one, set);
        }
        if (set === EMPTY) continue;
        const allowed = set;
        const trees = new BestFirst(diagrams, this.effort, aim);
        const adds = one.adds.filter(({ fed }) => diagrams.meets(allowed, fed));
        trees.add({ where, allowed, re: one.re, im: one.im, adds });
        trees.run();
      }
    }
  }

  /** How much the load can add in the states; undefined when it adds nothing. */
  private ranked(where: Where, group: Group): Ranked | undefined {
    const { diagrams } = this;
    const parts = group.parts.filter(({ within }) => {
      const here = diagrams.isSubset(where.set, within) ? where.set : diagrams.and(where.set, within);
      return here !== EMPTY && diagrams.meets(here, group.fed);
    });
    if (parts.length === 0) return undefined;
    const [most, box] = reachOfParts(parts, group.options);
    return most > 0 ? { ...group, parts, most, box } : undefined;
  }

  /** What a load adds in all the states alike; undefined when it depends. */
  private always({ set: all }: Where, { parts, options }: Ranked): Turned | undefined {
    const [part, option] = [parts[0]!, options[0]!];
    if (parts.length > 1 || options.length > 1 || option.before !== undefined) return undefined;
    if (option.set !== FULL || !this.diagrams.isSubset(all, part.within)) return undefined;
    return { volts: option.volts, yRe: part.factor * option.yRe, yIm: part.factor * option.yIm };
  }

  /** Lets the groups from `i` on take a part and an option each. */
  private choose(search: Search, i: number, start: Start): void {
    const group = search.groups[i];
    if (group === undefined) {
      search.starts.push(start);
      return;
    }
    const { diagrams } = this;
    const { where, allowed } = start;
    const next: Start[] = [];
    let none = allowed;
    for (const { within, factor } of group.parts) {
      for (const { volts, yRe, yIm, set, before } of group.options) {
        const part = diagrams.and(within, set);
        const here = diagrams.and(allowed, part);
        // Options that ask for the state before share out the pairs of their states between them.
        none = diagrams.minus(none, part);
        const pairs = before === undefined ? where : restrict(diagrams, this.relation, where, FULL, before);
        if (here === EMPTY || pairs === undefined || !diagrams.meets(pairs.set, here)) continue;
        const adds = [...start.adds, { volts, yRe: factor * yRe, yIm: factor * yIm }];
        next.push({ ...start, where: pairs, allowed: here, adds });
      }
    }
    if (none !== EMPTY && diagrams.meets(where.set, none)) next.push({ ...start, allowed: none });
    for (const one of next) if (next.length === 1 || !this.isCut(search, i + 1, one)) this.choose(search, i + 1, one);
  }

  /** True when nothing from here extends the range, or the effort is spent. */
  private isCut({ aims, boxes, suffix }: Search, i: number, start: Start): boolean {
    const bounds = aims.map(({ up }) => boundOf(up, start, undefined, boxes[i], suffix[i]));
    if (aims.every((aim, k) => doesNotExtend(aim, bounds[k]!))) return true;
    if (this.effort.visits-- > 0) return false;
    const { range } = aims[0]!;
    cut(range, bounds[0]!, bounds[1]!);
    return true;
  }
}

const NOTHING: Pick<Start, "re" | "im" | "adds"> = { re: 0, im: 0, adds: [] };

/** The most that the groups add up to, and where their sum lies, in whatever states. */
function reachOf(groups: readonly Group[]): [number, Box] {
  let size = 0;
  let box = ORIGIN;
  for (const group of groups) {
    const [most, own] = (group.reach ??= reachOfParts(group.parts, group.options));
    size += most;
    box = sumOf(box, own);
  }
  return [size, box];
}

function reachOfParts(parts: Group["parts"], options: readonly Option[]): [number, Box] {
  let most = 0;
  let box = ORIGIN;
  for (const { factor } of parts) {
    for (const { volts, yRe, yIm } of options) {
      const { root } = volts.shape;
      most = Math.max(most, volts.most(root) * Math.hypot(yRe, yIm) * Math.abs(factor));
      box = hull(box, turned(volts.box(root), factor * yRe, factor * yIm));
    }
  }
  return [most, box];
}
