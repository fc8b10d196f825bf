/**
 * Volts of every load of an island, as sets of states: the heart of the engine.
 *
 * An island is cut down by splitting on one connection (closed / open), making the rest small again and looking each new
 * island up by its content. Without connections left it is solved. Results are joined upward by if-then-else. Content means
 * kinds of load, sets and joints as numbered inside the island, never names or ids: equal islands are solved once, in this
 * analysis and in later ones.
 */
import { type Diagrams, EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import { IntTable } from "./int-table.ts";
import { solveIsland } from "./island-solution.ts";
import { COUPLED, GATED, PART, Reducer, STRIDE, VARYING, WIRE } from "./reduce.ts";
import { type LoadTypes, NOT_COVERED, type Values } from "./values.ts";

/** Volts of one load: value, set, value, set, ...; sets are disjoint, in all other states the load has 0 V. */
export type Cells = readonly number[];
const NOTHING: Cells = [];

/** More different volts than this are put together by class, except for a few at both ends of each class. */
export const MOST_VALUES = 8;
const KEPT_AT_ENDS = 2;

/** Phasors of the legs. */
export interface Legs {
  readonly re: readonly number[];
  readonly im: readonly number[];
}

/** Results that stay good from one analysis to the next. */
export class PieceStore {
  readonly table = new IntTable();
  readonly results: (readonly Cells[])[] = [];
  readonly legSets = new IntTable();
}

/** Thrown when a slice of work is done. */
export const SLICE_END = Symbol("slice end");

export class Pieces {
  /** Pieces worked out (not looked up) so far. */
  count = 0;
  /** How often the budget ended the work in some piece. */
  spent = 0;
  /** Pieces to finish before `SLICE_END` is thrown; what is finished is kept, so that beginning again goes on from there. */
  slice = Infinity;
  private readonly diagrams: Diagrams;
  private readonly store: PieceStore;
  private readonly values: Values;
  private readonly types: LoadTypes;
  private readonly legs: Legs;
  private budget: number;
  private readonly reducer: Reducer;
  private readonly legSet: number;
  private readonly key: number[] = [];
  private numbers = new Int32Array(64);

  constructor(
    diagrams: Diagrams,
    store: PieceStore,
    values: Values,
    types: LoadTypes,
    legs: Legs,
    potential: ArrayLike<number>,
    budget: number,
  ) {
    this.diagrams = diagrams;
    this.store = store;
    this.values = values;
    this.types = types;
    this.legs = legs;
    this.budget = budget;
    this.reducer = new Reducer(diagrams, potential);
    const phasors = new Int32Array(Float64Array.from([...legs.re, ...legs.im]).buffer);
    const known = store.legSets.intern(phasors, 0, phasors.length);
    this.legSet = known >= 0 ? known : -1 - known;
  }

  /** From now on nothing new is worked out. */
  stop(): void {
    this.budget = 0;
  }

  /** Allows that many more pieces. */
  allow(pieces: number): void {
    this.budget = this.count + pieces;
  }

  /** Volts of all loads named as owners in `edges`: `out[owner]` is set for those that can have any. */
  solve(edges: number[], joints: number, out: Cells[]): void {
    for (const island of this.reducer.islands(edges, joints)) {
      const owners: number[] = [];
      for (let e = 5; e < island.length; e += STRIDE) if (island[e]! >= 0) owners.push(island[e]!);
      if (owners.length === 0) continue;
      const cells = this.island(island);
      for (let at = 0; at < owners.length; at++) out[owners[at]!] = cells[at]!;
    }
  }

  /** Cells of the owned edges of an island, in their order. */
  private island(edges: number[]): readonly Cells[] {
    const joints = this.renumber(edges);
    const key = this.keyOf(edges);
    const found = this.store.table.intern(key, 0, key.length);
    if (found >= 0) {
      const known = this.store.results[found];
      // A piece that a spent budget left open is tried again by a later analysis.
      if (known !== undefined) return known;
    }
    const number = found >= 0 ? found : -1 - found;
    let owners = 0;
    for (let e = 5; e < edges.length; e += STRIDE) if (edges[e]! >= 0) edges[e] = owners++;
    if (this.count >= this.budget) {
      this.spent++;
      return Array.from({ length: owners }, () => [NOT_COVERED, FULL]);
    }
    this.count++;
    const spentBefore = this.spent;
    const varying = this.varyingLevel(edges);
    const result =
      varying >= 0
        ? this.splitByControl(edges, joints, owners, varying)
        : (this.splitByConnection(edges, joints, owners) ??
          solveIsland(edges, joints, owners, this.legs, this.types, this.values));
    if (this.spent === spentBefore) this.store.results[number] = result;
    if (--this.slice <= 0) throw SLICE_END;
    return result;
  }

  /** What a whole stretch of edges is made of, whatever its joints are called. The edges stay as they are. */
  contentOf(edges: readonly number[]): readonly number[] {
    const copy = edges.slice();
    this.renumber(copy);
    return this.keyOf(copy);
  }

  private keyOf(edges: readonly number[]): readonly number[] {
    const { key } = this;
    key.length = 0;
    key.push(this.legSet);
    for (let e = 0; e < edges.length; e += STRIDE)
      key.push(edges[e]! + (edges[e + 5]! >= 0 ? 8 : 0), edges[e + 1]!, edges[e + 2]!, edges[e + 3]!, edges[e + 4]!);
    return key;
  }

  /** Numbers the joints by first appearance, after the legs. */
  private renumber(edges: number[]): number {
    const legs = this.legs.re.length;
    let most = 0;
    for (let e = 0; e < edges.length; e += STRIDE) most = Math.max(most, edges[e + 1]!, edges[e + 2]!);
    if (this.numbers.length <= most) this.numbers = new Int32Array(most * 2);
    const { numbers } = this;
    for (let e = 0; e < edges.length; e += STRIDE) numbers[edges[e + 1]!] = numbers[edges[e + 2]!] = -1;
    let next = legs;
    for (let e = 0; e < edges.length; e += STRIDE) {
      for (let side = 1; side <= 2; side++) {
        const joint = edges[e + side]!;
        if (joint < legs) continue;
        if (numbers[joint]! < 0) numbers[joint] = next++;
        edges[e + side] = numbers[joint]!;
      }
    }
    return next;
  }

  private varyingLevel(edges: readonly number[]): number {
    for (let e = 0; e < edges.length; e += STRIDE) if (edges[e] === VARYING) return edges[e + 4]!;
    return -1;
  }

  private splitByControl(edges: number[], joints: number, owners: number, level: number): Cells[] {
    const { diagrams } = this;
    const merged: number[][] = Array.from({ length: owners }, () => []);
    const positions = level === STEPS ? diagrams.stepCount : diagrams.arity[level]!;
    for (let position = 0; position < positions; position++) {
      const here = diagrams.position(level, position);
      const rest: number[] = [];
      for (let e = 0; e < edges.length; e += STRIDE) {
        let kind = edges[e]!;
        let x = edges[e + 3]!;
        let y = edges[e + 4]!;
        if (kind === VARYING && y === level) {
          kind = PART;
          y = position;
          const ohms = this.types.types[x]!.impedance[position];
          if (ohms === undefined) continue;
          if (ohms.re === 0 && ohms.im === 0) {
            rest.push(WIRE, edges[e + 1]!, edges[e + 2]!, FULL, 0, -1);
            continue;
          }
        } else if (kind === WIRE || kind === GATED) x = diagrams.fix(x, level, position);
        rest.push(kind, edges[e + 1]!, edges[e + 2]!, x, y, edges[e + 5]!);
      }
      const part: Cells[] = [];
      this.solve(rest, joints, part);
      for (let owner = 0; owner < owners; owner++) {
        const cells = part[owner];
        if (cells === undefined) continue;
        const sum = merged[owner]!;
        for (let i = 0; i < cells.length; i += 2) addCell(diagrams, sum, cells[i]!, diagrams.and(here, cells[i + 1]!));
      }
    }
    return this.finish(edges, merged);
  }

  /** Undefined when the island has no connection left to split on. */
  private splitByConnection(edges: number[], joints: number, owners: number): Cells[] | undefined {
    const at = this.chosenConnection(edges, joints);
    if (at < 0) return undefined;
    const { diagrams } = this;
    const test = edges[at + 3]!;
    const closed: Cells[] = [];
    const open: Cells[] = [];
    this.solve(this.branch(edges, at, true), joints, closed);
    this.solve(this.branch(edges, at, false), joints, open);
    const merged: number[][] = [];
    for (let owner = 0; owner < owners; owner++) {
      const yes = closed[owner] ?? NOTHING;
      const no = open[owner] ?? NOTHING;
      const sum: number[] = [];
      for (let i = 0; i < yes.length; i += 2) {
        let other: StateSet = EMPTY;
        for (let k = 0; k < no.length; k += 2) if (no[k] === yes[i]) other = no[k + 1]!;
        const set = diagrams.choose(test, yes[i + 1]!, other);
        if (set !== EMPTY) sum.push(yes[i]!, set);
      }
      for (let k = 0; k < no.length; k += 2) {
        let seen = false;
        for (let i = 0; i < yes.length && !seen; i += 2) seen = yes[i] === no[k];
        if (seen) continue;
        const set = diagrams.minus(no[k + 1]!, test);
        if (set !== EMPTY) sum.push(no[k]!, set);
      }
      merged.push(sum);
    }
    return this.finish(edges, merged);
  }

  /** The connection nearest a leg with the busiest far joint; -1 when there is none. */
  private chosenConnection(edges: readonly number[], joints: number): number {
    const legs = this.legs.re.length;
    if (this.numbers.length < joints) this.numbers = new Int32Array(joints * 2);
    const degree = this.numbers;
    degree.fill(0, 0, joints);
    for (let e = 0; e < edges.length; e += STRIDE) {
      degree[edges[e + 1]!]!++;
      degree[edges[e + 2]!]!++;
    }
    let best = -1;
    let most = -1;
    for (let e = 0; e < edges.length; e += STRIDE) {
      if (edges[e] !== WIRE && edges[e] !== GATED) continue;
      const a = edges[e + 1]!;
      const b = edges[e + 2]!;
      const busy = a < legs || b < legs ? 1000 + degree[a < legs ? b : a]! : Math.max(degree[a]!, degree[b]!);
      if (busy > most) {
        most = busy;
        best = e;
      }
    }
    return best;
  }

  /** The edges with the connection at `at` closed or open, and what follows from that for connections that share controls. */
  private branch(edges: readonly number[], at: number, closed: boolean): number[] {
    const { diagrams } = this;
    const test = edges[at + 3]!;
    const rest: number[] = [];
    for (let e = 0; e < edges.length; e += STRIDE) {
      const kind = edges[e]!;
      let x = edges[e + 3]!;
      if (kind === WIRE || kind === GATED) {
        if (e === at || x === test) x = closed ? FULL : EMPTY;
        else if (diagrams.mayShare(test, x)) {
          if (closed) {
            if (!diagrams.meets(test, x)) x = EMPTY;
            else if (diagrams.isSubset(test, x)) x = FULL;
          } else if (diagrams.isSubset(x, test)) x = EMPTY;
          else if (diagrams.or(test, x) === FULL) x = FULL;
        }
        if (x === EMPTY) continue;
      }
      rest.push(kind, edges[e + 1]!, edges[e + 2]!, x, edges[e + 4]!, edges[e + 5]!);
    }
    return rest;
  }

  private finish(edges: readonly number[], merged: number[][]): Cells[] {
    for (let e = 0; e < edges.length; e += STRIDE) {
      const owner = edges[e + 5]!;
      if (owner < 0 || merged[owner]!.length <= 2 * MOST_VALUES) continue;
      const type = edges[e + 3]!;
      if (!this.types.types[type]!.keepsValues)
        merged[owner] = putTogether(this.diagrams, this.values, this.types, type, merged[owner]!);
    }
    return merged;
  }
}

/**
 * Which of many different volts of a load are put together: in each class all but the smallest and largest few become one
 * stretch. Decided by the values alone, so that their sets can be united where that is cheapest.
 */
export function groupValues(values: Values, types: LoadTypes, type: number, all: readonly number[]): number[][] {
  const groups: number[][] = [];
  const byClass: number[][] = [[], [], [], []];
  for (const value of all) {
    const most = values.hi[value]!;
    if (Number.isNaN(most) || most === Infinity) groups.push([value]);
    else byClass[types.classOf(type, most)]!.push(value);
  }
  for (const members of byClass) {
    members.sort((p, q) => values.lo[p]! - values.lo[q]!);
    const middle: number[] = [];
    members.forEach((value, rank) => {
      if (values.isExact(value) && (rank < KEPT_AT_ENDS || rank >= members.length - KEPT_AT_ENDS)) groups.push([value]);
      else middle.push(value);
    });
    if (middle.length > 0) groups.push(middle);
  }
  return groups;
}

/** Fewer cells for a load with many different volts. */
function putTogether(
  diagrams: Diagrams,
  values: Values,
  types: LoadTypes,
  type: number,
  cells: readonly number[],
): number[] {
  const result: number[] = [];
  const setOf = new Map<number, StateSet>();
  for (let i = 0; i < cells.length; i += 2) setOf.set(cells[i]!, cells[i + 1]!);
  for (const group of groupValues(values, types, type, [...setOf.keys()])) {
    let set: StateSet = EMPTY;
    for (const value of group) set = diagrams.or(set, setOf.get(value)!);
    addCell(diagrams, result, group.length === 1 ? group[0]! : values.stretch(group), set);
  }
  return result;
}

/** Adds a set of states to the value's cell. */
export function addCell(diagrams: Diagrams, cells: number[], value: number, set: StateSet): void {
  if (set === EMPTY) return;
  for (let i = 0; i < cells.length; i += 2) {
    if (cells[i] !== value) continue;
    cells[i + 1] = diagrams.or(cells[i + 1]!, set);
    return;
  }
  cells.push(value, set);
}

export { COUPLED, GATED, PART, STRIDE, VARYING, WIRE };
