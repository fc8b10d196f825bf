/** Volts and classes of every load in every state, zone by zone: split into decisions, then told as sets. */
import { toEnd } from "../../base/to-end.ts";
import type { Circuit } from "../../circuit/circuit.ts";
import type { ContactId, Load, LoadId } from "../../machine/machine.ts";
import { type Decision, NONE, OPEN } from "./decisions.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import { conducts, type Elements } from "./elements.ts";
import { IntTable } from "./int-table.ts";
import type { Legs } from "./island-solution.ts";
import { LoadTree } from "./load-tree.ts";
import { type OutcomeStore, Outcomes } from "./outcomes.ts";
import { type PieceStore, type Pieces, SLICE_END } from "./pieces.ts";
import { COUPLED, GATED, PART, STRIDE, VARYING, WIRE } from "./reduce.ts";
import type { Space } from "./space.ts";
import { type Cells, groupValues } from "./value-groups.ts";
import { type LoadTypes, NOT_COVERED, OFF, OVER, type Values } from "./values.ts";
import type { Zone } from "./zones.ts";

/** Pieces between two yields, nodes of diagrams between two yields: a few milliseconds of work each. */
const PIECES_PER_JOB = 150;
const NODES_PER_JOB = 4000;

/** What loads do in every state (supply on, legs not shorted, whether reachable or not). */
export interface LoadSets {
  /** By load id. */
  readonly cells: readonly Cells[];
  /** States in which the load has any volts. By load id. */
  readonly fed: Int32Array;
  /** By load id: every single value. */
  readonly trees: readonly LoadTree[];
  /** States in which the class is at least weak, works, over: index `class * loads + load`. */
  readonly atLeast: Int32Array;
  /** Loads that the budget left open somewhere. */
  readonly open: readonly LoadId[];
}

export interface LoadWork {
  readonly circuit: Circuit;
  readonly space: Space;
  readonly pieces: Pieces;
  readonly store: PieceStore;
  readonly outcomes: OutcomeStore;
  readonly values: Values;
  readonly types: LoadTypes;
  readonly elements: Elements;
  /** Phasors of the legs, and a number for them. */
  readonly legs: Legs & { readonly key: number };
  readonly zones: readonly Zone[];
  /** Contacts at each joint. */
  readonly contactsAt: readonly (readonly ContactId[])[];
  /** Whole zones that were worked out before, by content. */
  readonly known: ZoneStore;
  /** Load type of each load. */
  readonly typeOf: Int32Array;
  /** Set in which each contact is closed. */
  readonly closed: Int32Array;
  /** For each leg, for each joint: the states in which closed contacts tie them. */
  readonly legReach: readonly Int32Array[];
  /** Supply on and no legs tied. */
  readonly live: StateSet;
}

export class ZoneStore {
  readonly table = new IntTable();
  readonly results: (readonly LoadResult[] | undefined)[] = [];
}

/** Joint numbers of the pieces: legs first (one for each joint that has one), then all joints. */
function pieceJoints(circuit: Circuit): { jointOf: Int32Array; count: number } {
  const legs = circuit.legJoint.length;
  const jointOf = Int32Array.from({ length: circuit.jointCount }, (_, joint) => joint + legs);
  for (let leg = legs - 1; leg >= 0; leg--) jointOf[circuit.legJoint[leg]!] = leg;
  return { jointOf, count: circuit.jointCount + legs };
}

export function largestLeg(circuit: Circuit): number {
  return Math.max(0, ...circuit.legRe.map((re, leg) => Math.hypot(re, circuit.legIm[leg]!)));
}

/** Edges of a zone; owners are numbered as its loads are. */
function edgesOf(work: LoadWork, zone: Zone, joints: Int32Array, opened: ContactId): number[] {
  const { circuit, space, elements, closed } = work;
  const { machine } = circuit;
  const { diagrams } = space;
  const edges: number[] = [];
  for (const id of zone.contacts) {
    if (id === opened) continue;
    const a = joints[circuit.contactA[id]!]!;
    const b = joints[circuit.contactB[id]!]!;
    const set = closed[id]!;
    const resistance = elements.ofContact[id]!;
    if (resistance < 0) edges.push(WIRE, a, b, set, 0, -1);
    else edges.push(GATED, a, b, set, resistance, -1);
    const leak = elements.ofLeak[id]!;
    if (leak >= 0) edges.push(GATED, a, b, diagrams.not(set), leak, -1);
  }
  zone.loads.forEach((id, owner) => {
    const { control, impedance, kind } = machine.loads[id]!;
    const a = joints[circuit.loadA[id]!]!;
    const b = joints[circuit.loadB[id]!]!;
    const element = elements.ofLoad[id]!;
    if (control !== undefined && impedance.length > 1) {
      edges.push(VARYING, a, b, element, space.level[control]!, owner);
      return;
    }
    const ohms = impedance[0];
    if (!conducts(ohms)) return;
    if (ohms!.re === 0 && ohms!.im === 0 && kind !== "diode") edges.push(WIRE, a, b, FULL, 0, -1);
    else edges.push(PART, a, b, element, 0, owner);
  });
  for (const index of zone.transformers) {
    const transformer = machine.transformers[index]!;
    const element = elements.ofTransformer[index]!;
    const at = (terminal: number): number => joints[circuit.jointOf[terminal]!]!;
    edges.push(COUPLED, at(transformer.primary[0]), at(transformer.primary[1]), 2 * element, -1, -1);
    edges.push(COUPLED, at(transformer.secondary[0]), at(transformer.secondary[1]), 2 * element + 1, -1, -1);
  }
  return edges;
}

/** What the volts of a zone's loads depend on, in their order. `edges` is used up. */
function* decisionsOf(work: LoadWork, zone: Zone, edges: number[], joints: number): Generator<void, Decision[]> {
  const { pieces } = work;
  for (;;) {
    pieces.slice = PIECES_PER_JOB;
    try {
      const out: Decision[] = new Array(zone.loads.length).fill(NONE);
      pieces.solve(edges.slice(), joints, out);
      return out;
    } catch (end) {
      if (end !== SLICE_END) throw end;
      yield;
    }
  }
}

/** The volts at an end of a decision; -1 for none. */
function valueAt(work: LoadWork, end: Decision): number {
  if (end === NONE) return -1;
  if (end === OPEN) return NOT_COVERED;
  return work.store.leaves.valueAt(end, work.elements, work.legs, work.types, work.values);
}

/** What a load has in every state. */
interface LoadResult {
  readonly cells: Cells;
  /** States in which it has no volts. */
  readonly none: StateSet;
  readonly tree: LoadTree;
}

/** Results of the loads of a zone, in their order. */
function* zoneResults(work: LoadWork, zone: Zone): Generator<void, readonly LoadResult[]> {
  const { circuit, pieces, elements, legs, known, typeOf } = work;
  const { jointOf, count } = pieceJoints(circuit);
  const edges = edgesOf(work, zone, jointOf, -1);
  const key = pieces.contentOf(edges);
  key.push(legs.key);
  for (let e = 0; e < edges.length; e += STRIDE) {
    const kind = edges[e]!;
    if (kind === WIRE) continue;
    const element = kind === COUPLED ? edges[e + 3]! >> 1 : kind === GATED ? edges[e + 4]! : edges[e + 3]!;
    key.push(elements.typeOf[element]!);
  }
  const number = known.table.intern(key, 0, key.length);
  const before = number >= 0 ? known.results[number] : undefined;
  if (before !== undefined) return before;
  const spent = pieces.spent;
  const roots = yield* decisionsOf(work, zone, edges, count);
  const results: LoadResult[] = [];
  for (const [owner, load] of zone.loads.entries()) {
    results.push(yield* loadResult(work, roots[owner]!, typeOf[load]!));
    yield;
  }
  if (pieces.spent === spent) known.results[number >= 0 ? number : -1 - number] = results;
  return results;
}

function* loadResult(work: LoadWork, root: Decision, type: number): Generator<void, LoadResult> {
  const { space, store, values, types } = work;
  const shape = store.shapes.of(store.decisions, root);
  const found = Int32Array.from(shape.ends, (end) => valueAt(work, end));
  const all = [...new Set(found)].filter((value) => value >= 0);
  // Volts that are not told have no place in an order: they come first.
  const rank = (value: number): number => (Number.isNaN(values.lo[value]!) ? -1 : values.lo[value]!);
  all.sort((p, q) => rank(p) - rank(q) || p - q);
  const groups = groupValues(values, types, type, all);
  const groupOfValue = new Map<number, number>([[-1, 0]]);
  groups.forEach((members, index) => {
    for (const value of members) groupOfValue.set(value, index + 1);
  });
  const groupOf = Int32Array.from(found, (value) => groupOfValue.get(value)!);
  let sets: readonly StateSet[];
  if (shape.told !== undefined && same(shape.told.groups, groupOf)) sets = shape.told.sets;
  else {
    const outcomes = new Outcomes(space.diagrams, work.outcomes, shape, groupOf);
    const fresh: StateSet[] = [];
    let nodes = space.diagrams.nodeCount;
    for (let group = 0; group <= groups.length; group++) {
      fresh.push(outcomes.setOf(group));
      if (space.diagrams.nodeCount - nodes < NODES_PER_JOB) continue;
      nodes = space.diagrams.nodeCount;
      yield;
    }
    sets = fresh;
    shape.told = { groups: groupOf, sets };
  }
  const cells: number[] = [];
  groups.forEach((members, index) => {
    const set = sets[index + 1]!;
    if (set !== EMPTY) cells.push(members.length === 1 ? members[0]! : values.stretch(members), set);
  });
  return { cells, none: sets[0]!, tree: new LoadTree(shape, found, values) };
}

function same(a: Int32Array, b: Int32Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/** Works all loads out. */
export function* loadSets(work: LoadWork): Generator<void, LoadSets> {
  const { circuit, space, values, types, typeOf, live, zones } = work;
  const { diagrams } = space;
  const loads = circuit.machine.loads.length;
  const atLeast = new Int32Array(4 * loads);
  const open: LoadId[] = [];
  const all: Cells[] = Array.from({ length: loads }, () => []);
  const fed = new Int32Array(loads);
  const trees: LoadTree[] = [];
  for (const zone of zones) {
    if (zone.loads.length === 0) continue;
    const results = yield* zoneResults(work, zone);
    zone.loads.forEach((load, index) => {
      const { cells: result, none, tree } = results[index]!;
      fed[load] = diagrams.minus(live, none);
      trees[load] = tree;
      const cells: number[] = [];
      for (let i = 0; i < result.length; i += 2) {
        const value = result[i]!;
        const set = diagrams.and(result[i + 1]!, live);
        if (set === EMPTY) continue;
        cells.push(value, set);
        if (value === NOT_COVERED && !open.includes(load)) open.push(load);
        const least = types.classOf(typeOf[load]!, values.hi[value]!);
        for (let one = OFF + 1; one <= Math.min(least, OVER); one++) {
          if (value === NOT_COVERED && one === OVER) continue;
          atLeast[one * loads + load] = diagrams.or(atLeast[one * loads + load]!, set);
        }
      }
      all[load] = cells;
    });
  }
  return { cells: all, fed, trees, atLeast, open };
}

/** What the loads of a zone depend on with one contact taken out. */
export class ZoneWithout {
  private readonly work: LoadWork;
  private readonly zone: Zone;
  private readonly roots: readonly Decision[];
  private readonly known: ({ set: StateSet; open: boolean } | undefined)[] = [];

  constructor(work: LoadWork, zone: Zone, opened: ContactId) {
    this.work = work;
    this.zone = zone;
    const { jointOf, count } = pieceJoints(work.circuit);
    this.roots = toEnd(decisionsOf(work, zone, edgesOf(work, zone, jointOf, opened), count));
  }

  /** States in which a load of the zone is at least weak; `open`: the budget left some of them open, and they count as weak. */
  weak(load: LoadId): { readonly set: StateSet; readonly open: boolean } {
    const { work } = this;
    const index = this.zone.loads.indexOf(load);
    const known = this.known[index];
    if (known !== undefined) return known;
    const type = work.typeOf[load]!;
    const isWeak = (end: Decision): number => {
      const value = valueAt(work, end);
      return value >= 0 && work.types.classOf(type, work.values.hi[value]!) > OFF ? 1 : 0;
    };
    const shape = work.store.shapes.of(work.store.decisions, this.roots[index]!);
    const outcomes = new Outcomes(work.space.diagrams, work.outcomes, shape, shape.ends.map(isWeak));
    const set = work.space.diagrams.and(outcomes.setOf(1), work.live);
    const open = shape.ends.includes(OPEN);
    return (this.known[index] = { set, open });
  }
}

/** Types of all loads. Loads whose amps or phase decide something keep every value apart. */
export function loadTypes(circuit: Circuit, types: LoadTypes): Int32Array {
  const { machine } = circuit;
  const keep = new Set<LoadId>();
  for (const { rule } of machine.controls) {
    if (rule?.rule === "current") keep.add(rule.load);
    if (rule?.rule === "motor" && rule.starts.length > 0)
      for (const load of [...rule.mains, ...rule.starts]) keep.add(load);
  }
  const volts = largestLeg(circuit);
  return Int32Array.from(machine.loads, (load: Load) => types.load(load, volts, keep.has(load.id)));
}
