/**
 * What the volts of every load of an island depend on, as decisions: the heart of the engine.
 *
 * An island is cut down by splitting on one connection (closed / open), making the rest small again and looking each new
 * island up by its content. Without connections left it is a leaf. Content means elements, sets and joints as numbered
 * inside the island, never ohms: equal islands are split once, in this analysis and in later ones, whatever their loads draw.
 */
import { AskedJoints } from "./asked-joints.ts";
import { type Decision, Decisions, NONE, OPEN } from "./decisions.ts";
import { type Diagrams, EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import { IntTable } from "./int-table.ts";
import { LeafStore } from "./leaves.ts";
import { COUPLED, GATED, PART, Reducer, STRIDE, VARYING, WIRE } from "./reduce.ts";
import { ShapeStore } from "./shapes.ts";

/** What was found out about an island. */
interface PieceResult {
  /** Decisions of its owned edges, in their order. */
  readonly owned: readonly Decision[];
  /** Decisions of the volts of its joints, legs left out; undefined where nobody asked. */
  readonly joints: readonly (Decision | undefined)[];
}

/** Results that stay good from one analysis to the next. */
export class PieceStore {
  readonly table = new IntTable();
  readonly results: (PieceResult | undefined)[] = [];
  readonly decisions = new Decisions();
  readonly leaves = new LeafStore();
  readonly shapes = new ShapeStore();
  /** Which legs have the same volts. */
  readonly legPatterns = new IntTable();
}

/** What an element is worth in a position of the control that it varies with: nothing, no ohms at all, or ohms. */
export type ShapeAt = (element: number, position: number) => "nothing" | "no ohms" | "ohms";

/** Thrown when a slice of work is done. */
export const SLICE_END = Symbol("slice end");

const NOTHING: readonly number[] = [];

/** While `set` holds, a joint has the volts that the decision tells. */
export interface JointPlace {
  readonly set: StateSet;
  readonly decision: Decision;
}

export class Pieces {
  /** Pieces worked out (not looked up) so far. */
  count = 0;
  /** How often the budget ended the work in some piece. */
  spent = 0;
  /** Pieces to finish before `SLICE_END` is thrown; what is finished is kept, so that beginning again goes on from there. */
  slice = Infinity;
  private readonly diagrams: Diagrams;
  private readonly store: PieceStore;
  private readonly shapeAt: ShapeAt;
  private readonly legs: number;
  private budget: number;
  private readonly reducer: Reducer;
  private readonly legPattern: number;
  private readonly potential: ArrayLike<number>;
  /** The end that stands for the volts of the first leg; those of the others follow downwards. */
  private readonly legEnd: Decision;
  private readonly key: number[] = [];
  private numbers = new Int32Array(64);

  /** @param potential for each leg the first one with the same volts */
  constructor(diagrams: Diagrams, store: PieceStore, shapeAt: ShapeAt, potential: ArrayLike<number>, budget: number) {
    this.diagrams = diagrams;
    this.store = store;
    this.shapeAt = shapeAt;
    this.legs = potential.length;
    this.budget = budget;
    this.potential = potential;
    this.reducer = new Reducer(diagrams, potential, (element, level) => this.conducting(element, level));
    this.legEnd = store.leaves.add([], this.legs, this.legs);
    const known = store.legPatterns.intern(potential, 0, potential.length);
    this.legPattern = known >= 0 ? known : -1 - known;
  }

  /** From now on nothing new is worked out. */
  stop(): void {
    this.budget = 0;
  }

  /** Allows that many more pieces. */
  allow(pieces: number): void {
    this.budget = this.count + pieces;
  }

  /** Decisions of all loads named as owners in `edges`, written to `out[owner]`. */
  solve(edges: number[], joints: number, out: Decision[]): void {
    this.solveWith(edges, joints, out, FULL, NOTHING, 0);
  }

  /**
   * The same, and for each of some joints the decisions that its volts follow, with the states in which they do; in all other states it
   * floats. Only in circuits whose connections have no ohms, without diodes and transformers.
   */
  solveWithPlaces(
    edges: number[],
    joints: number,
    out: Decision[],
    asked: readonly number[],
  ): readonly (readonly JointPlace[])[] {
    const { diagrams } = this;
    const places: { set: StateSet; readonly decision: Decision }[][] = asked.map(() => []);
    this.tellAsked(edges, joints, out, FULL, new AskedJoints(diagrams, asked, 0), (owner, set, decision) => {
      if (set === EMPTY || decision === NONE) return;
      const same = places[owner]!.find((one) => one.decision === decision);
      if (same === undefined) places[owner]!.push({ set, decision });
      else same.set = diagrams.or(same.set, set);
    });
    return places;
  }

  /**
   * @param steps the steps that matter: what holds at all of them is taken as always there
   * @param asked joints whose volts are wanted, too, written to `out` from `firstAsked` on: 0 V where nothing leads to them
   */
  private solveWith(
    edges: number[],
    joints: number,
    out: Decision[],
    steps: StateSet,
    asked: readonly number[],
    firstAsked: number,
  ): void {
    if (asked.length > 0) {
      this.solveAsked(edges, joints, out, steps, new AskedJoints(this.diagrams, asked, firstAsked));
      return;
    }
    for (const island of this.reducer.islands(edges, joints).live) this.islandInto(island, steps, out, []);
  }

  /**
   * Writes the decisions of an island's owners to `out`.
   *
   * @param asked joints whose volts are wanted: their numbers in the result are written there
   */
  private islandInto(island: number[], steps: StateSet, out: Decision[], asked: number[]): PieceResult | undefined {
    const owners: number[] = [];
    for (let e = 5; e < island.length; e += STRIDE) if (island[e]! >= 0) owners.push(island[e]!);
    if (owners.length === 0 && asked.length === 0) return undefined;
    const result = this.island(island, steps, asked);
    for (let at = 0; at < owners.length; at++) out[owners[at]!] = result.owned[at]!;
    return result;
  }

  private solveAsked(edges: number[], joints: number, out: Decision[], steps: StateSet, asked: AskedJoints): void {
    const { decisions } = this.store;
    this.tellAsked(edges, joints, out, steps, asked, (owner, set, decision) => {
      out[owner] = decisions.decide(set, decision, out[owner]!);
    });
  }

  /** Works out all that is owned, to `out`, and tells for each asked joint where its volts come from in which states. */
  private tellAsked(
    edges: number[],
    joints: number,
    out: Decision[],
    steps: StateSet,
    asked: AskedJoints,
    toOwner: (owner: number, set: StateSet, decision: Decision) => void,
  ): void {
    const { legs, legEnd, potential, reducer, diagrams } = this;
    const { live, still } = reducer.islands(edges, joints, asked);
    const { rows } = asked;
    const wanted = new Set<number>();
    for (const { joint, set, owner } of rows) {
      if (joint < legs) toOwner(owner, set, legEnd - joint);
      else wanted.add(joint);
    }
    if (wanted.size > 0)
      for (const island of still) {
        const leg = island.find((joint, at) => (at % STRIDE === 1 || at % STRIDE === 2) && joint < legs);
        if (
          leg === undefined ||
          !island.some((joint, at) => (at % STRIDE === 1 || at % STRIDE === 2) && wanted.has(joint))
        )
          continue;
        const reach = reducer.reachIn(island);
        for (const { joint, set, owner } of rows) {
          const there = joint < legs ? EMPTY : (reach.get(joint) ?? EMPTY);
          if (there !== EMPTY) toOwner(owner, diagrams.and(set, there), legEnd - potential[leg]!);
        }
      }
    for (const island of live) {
      const inside: number[] = [];
      if (wanted.size > 0)
        for (let e = 0; e < island.length; e += STRIDE)
          for (let side = 1; side <= 2; side++) if (wanted.delete(island[e + side]!)) inside.push(island[e + side]!);
      const numbers = inside.slice();
      const result = this.islandInto(island, steps, out, numbers);
      if (inside.length === 0) continue;
      for (const { joint, set, owner } of rows) {
        const at = inside.indexOf(joint);
        if (at >= 0) toOwner(owner, set, result!.joints[numbers[at]!]!);
      }
    }
  }

  /** States in which an element that varies with the control at a level conducts. */
  private conducting(element: number, level: number): StateSet {
    const { diagrams } = this;
    const positions = level === STEPS ? diagrams.stepCount : diagrams.arity[level]!;
    const marks = new Uint8Array(positions);
    for (let p = 0; p < positions; p++) marks[p] = this.shapeAt(element, p) === "nothing" ? 0 : 1;
    return diagrams.literal(level, marks);
  }

  /** @param asked joints whose volts are wanted: their numbers in the result are written there */
  private island(edges: number[], steps: StateSet, asked: number[]): PieceResult {
    const { legs } = this;
    const joints = this.renumber(edges);
    for (let at = 0; at < asked.length; at++) asked[at] = this.numbers[asked[at]!]! - legs;
    const key = this.keyOf(edges, steps);
    const found = this.store.table.intern(key, 0, key.length);
    // A piece that a spent budget left open is tried again by a later analysis.
    const known = found >= 0 ? this.store.results[found] : undefined;
    if (known !== undefined && asked.every((joint) => known.joints[joint] !== undefined)) return known;
    const number = found >= 0 ? found : -1 - found;
    let owners = 0;
    for (let e = 5; e < edges.length; e += STRIDE) if (edges[e]! >= 0) edges[e] = owners++;
    const told: (Decision | undefined)[] = new Array(asked.length === 0 ? 0 : joints - legs).fill(undefined);
    if (this.count >= this.budget) {
      this.spent++;
      return { owned: new Array(owners).fill(OPEN), joints: told.fill(OPEN) };
    }
    this.count++;
    const spentBefore = this.spent;
    const wanted: number[] = [];
    for (let joint = 0; joint < joints - legs; joint++)
      if (asked.includes(joint) || known?.joints[joint] !== undefined) wanted.push(joint + legs);
    const varying = this.varyingLevel(edges);
    const out =
      varying >= 0
        ? this.splitByControl(edges, joints, owners, varying, steps, wanted)
        : (this.splitByConnection(edges, joints, owners, steps, wanted) ?? this.leaf(edges, joints, wanted));
    for (let at = 0; at < wanted.length; at++) told[wanted[at]! - legs] = out[owners + at]!;
    out.length = owners;
    const result = { owned: out, joints: told };
    if (this.spent === spentBefore) this.store.results[number] = result;
    if (--this.slice <= 0) throw SLICE_END;
    return result;
  }

  private leaf(edges: readonly number[], joints: number, wanted: readonly number[]): Decision[] {
    const first = this.store.leaves.add(edges, joints, this.legs);
    const ends: Decision[] = [];
    for (let e = 0; e < edges.length; e += STRIDE) if (edges[e + 5]! >= 0) ends.push(first - e / STRIDE);
    for (const joint of wanted) ends.push(first - edges.length / STRIDE - (joint - this.legs));
    return ends;
  }

  /** What a whole stretch of edges is made of, whatever its joints are called. The edges stay as they are. */
  contentOf(edges: readonly number[]): number[] {
    const copy = edges.slice();
    this.renumber(copy);
    return this.keyOf(copy, FULL).slice();
  }

  private keyOf(edges: readonly number[], steps: StateSet): readonly number[] {
    const { key, diagrams } = this;
    key.length = 0;
    key.push(this.legPattern, FULL);
    for (let e = 0; e < edges.length; e += STRIDE) {
      const kind = edges[e]!;
      const x = edges[e + 3]!;
      // The steps matter to what still depends on them, and to nothing else.
      if ((kind === WIRE || kind === GATED) && diagrams.dependsOnSteps(x)) key[1] = steps;
      key.push(kind + (edges[e + 5]! >= 0 ? 8 : 0), edges[e + 1]!, edges[e + 2]!, x, edges[e + 4]!);
    }
    return key;
  }

  /** Numbers the joints by first appearance, after the legs. */
  private renumber(edges: number[]): number {
    const { legs } = this;
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

  private splitByControl(
    edges: number[],
    joints: number,
    owners: number,
    level: number,
    steps: StateSet,
    wanted: readonly number[],
  ): Decision[] {
    const { diagrams } = this;
    const { decisions } = this.store;
    let result: Decision[] = [];
    const count = owners + wanted.length;
    const positions = level === STEPS ? diagrams.stepCount : diagrams.arity[level]!;
    for (let position = 0; position < positions; position++) {
      if (level === STEPS && !diagrams.hasStep(steps, position)) continue;
      const rest: number[] = [];
      for (let e = 0; e < edges.length; e += STRIDE) {
        let kind = edges[e]!;
        let x = edges[e + 3]!;
        let y = edges[e + 4]!;
        if (kind === VARYING && y === level) {
          kind = PART;
          y = position;
          const shape = this.shapeAt(x, position);
          if (shape === "nothing") continue;
          if (shape === "no ohms") {
            rest.push(WIRE, edges[e + 1]!, edges[e + 2]!, FULL, 0, -1);
            continue;
          }
        } else if (kind === WIRE || kind === GATED) x = diagrams.fix(x, level, position);
        rest.push(kind, edges[e + 1]!, edges[e + 2]!, x, y, edges[e + 5]!);
      }
      const part: Decision[] = new Array(count).fill(NONE);
      this.solveWith(rest, joints, part, level === STEPS ? FULL : steps, wanted, owners);
      if (result.length === 0) result = part;
      else {
        const here = diagrams.position(level, position);
        for (let owner = 0; owner < count; owner++)
          result[owner] = decisions.decide(here, part[owner]!, result[owner]!);
      }
    }
    return result;
  }

  /** Undefined when the island has no connection left to split on. */
  private splitByConnection(
    edges: number[],
    joints: number,
    owners: number,
    steps: StateSet,
    wanted: readonly number[],
  ): Decision[] | undefined {
    const at = this.chosenConnection(edges, joints);
    if (at < 0) return undefined;
    const { diagrams } = this;
    const { decisions } = this.store;
    const test = edges[at + 3]!;
    const count = owners + wanted.length;
    const closed: Decision[] = new Array(count).fill(NONE);
    const open: Decision[] = new Array(count).fill(NONE);
    let [whenClosed, whenOpen] = [steps, steps];
    if (diagrams.dependsOnSteps(test)) {
      whenClosed = diagrams.and(steps, diagrams.stepsOf(test));
      whenOpen = diagrams.and(steps, diagrams.stepsOf(diagrams.not(test)));
    }
    this.solveWith(this.branch(edges, at, true, steps, whenClosed), joints, closed, whenClosed, wanted, owners);
    this.solveWith(this.branch(edges, at, false, steps, whenOpen), joints, open, whenOpen, wanted, owners);
    for (let owner = 0; owner < count; owner++) closed[owner] = decisions.decide(test, closed[owner]!, open[owner]!);
    return closed;
  }

  /** The connection nearest a leg with the busiest far joint; -1 when there is none. */
  private chosenConnection(edges: readonly number[], joints: number): number {
    const { legs } = this;
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
  private branch(edges: readonly number[], at: number, closed: boolean, before: StateSet, steps: StateSet): number[] {
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
          else if (diagrams.isSubset(diagrams.not(test), x)) x = FULL;
        }
        if (steps !== before) x = diagrams.within(x, steps);
        if (x === EMPTY) continue;
      }
      rest.push(kind, edges[e + 1]!, edges[e + 2]!, x, edges[e + 4]!, edges[e + 5]!);
    }
    return rest;
  }
}

export { COUPLED, GATED, PART, STRIDE, VARYING, WIRE };
