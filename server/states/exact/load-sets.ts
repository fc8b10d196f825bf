/** Volts and classes of every load in every state, zone by zone: split into decisions, then told as sets. */
import { toEnd } from "../../base/to-end.ts";
import type { Circuit } from "../../circuit/circuit.ts";
import type { ContactId, Load, LoadId } from "../../machine/machine.ts";
import { type Decision, NONE, OPEN } from "./decisions.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import { conducts, type Elements } from "./elements.ts";
import type { FrameStore } from "./frames.ts";
import type { Legs } from "./island-solution.ts";
import { Kept } from "./kept.ts";
import { LoadTree } from "./load-tree.ts";
import { type OutcomeStore, Outcomes } from "./outcomes.ts";
import { type PieceStore, type Pieces, SLICE_END } from "./pieces.ts";
import { COUPLED, GATED, PART, STRIDE, VARYING, WIRE } from "./reduce.ts";
import type { SearchStore } from "./search.ts";
import type { ToldSets } from "./shapes.ts";
import type { Space } from "./space.ts";
import { type Cells, groupValues, type ValueGroups } from "./value-groups.ts";
import { type LoadTypes, OFF, OVER, type Values } from "./values.ts";
import type { Zone } from "./zones.ts";

/** Pieces between two yields, nodes of diagrams between two yields: a few milliseconds of work each. */
export const PIECES_PER_JOB = 150;
const NODES_PER_JOB = 4000;

/** What loads do in every state (supply on, legs not shorted, whether reachable or not). */
export interface LoadSets {
  /** By load id: every value with its states, for loads whose values are kept apart; of others nothing. */
  readonly cells: readonly Cells[];
  /** By load id: a number for what its volts are in every state. */
  readonly contents: Int32Array;
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
  /** What connections alone say, and searches, kept from one analysis to the next. */
  readonly frames: FrameStore;
  readonly searches: SearchStore;
  /** Load type of each load. */
  readonly typeOf: Int32Array;
  /** Set in which each contact is closed. */
  readonly closed: Int32Array;
  /** For each leg, for each joint: the states in which closed contacts tie them. */
  readonly legReach: readonly Int32Array[];
  /** Supply on and no legs tied. */
  readonly live: StateSet;
}

/** Parts of trees of volts kept in all: the machine as it is and its changed copies, and some earlier ones. */
const MOST_PLACES = 300_000;

export class ZoneStore {
  /** How many contents of loads have been numbered. */
  contents = 0;
  readonly results = new Kept<readonly LoadResult[]>(MOST_PLACES);
}

/** Joint numbers of the pieces: legs first (one for each joint that has one), then all joints. */
export function pieceJoints(circuit: Circuit): { jointOf: Int32Array; count: number } {
  const legs = circuit.legJoint.length;
  const jointOf = Int32Array.from({ length: circuit.jointCount }, (_, joint) => joint + legs);
  for (let leg = legs - 1; leg >= 0; leg--) jointOf[circuit.legJoint[leg]!] = leg;
  return { jointOf, count: circuit.jointCount + legs };
}

export function largestLeg(circuit: Circuit): number {
  return Math.max(0, ...circuit.legRe.map((re, leg) => Math.hypot(re, circuit.legIm[leg]!)));
}

/**
 * Edges of a zone.
 *
 * @param opened a contact that is left out; -1: none
 * @param isOwned loads own their edges, numbered as they are in the zone
 */
export function edgesOf(work: LoadWork, zone: Zone, joints: Int32Array, opened: ContactId, isOwned = true): number[] {
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
  zone.loads.forEach((id, index) => {
    const owner = isOwned ? index : -1;
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

/** What a load has in every state. */
export interface LoadResult {
  readonly type: number;
  readonly groups: ValueGroups;
  /** States of each group, or by classes. */
  readonly told: ToldSets;
  readonly tree: LoadTree;
  /** A number for what the load has in every state. */
  readonly content: number;
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
  const before = known.results.find(key);
  if (before !== undefined) return before;
  const spent = pieces.spent;
  const roots = yield* decisionsOf(work, zone, edges, count);
  const results: LoadResult[] = [];
  for (const [owner, load] of zone.loads.entries()) {
    results.push(yield* loadResult(work, roots[owner]!, typeOf[load]!));
    yield;
  }
  const places = results.reduce((sum, { tree }) => sum + tree.shape.tests.length, 1);
  if (pieces.spent === spent) known.results.keep(key, results, places);
  return results;
}

/** Results of a shape that are kept: of the machine as it is, of its changed copies and of earlier ones; of large shapes fewer. */
const MOST_RESULTS = 6;
const LARGE_SHAPE = 500;

function* loadResult(work: LoadWork, root: Decision, type: number): Generator<void, LoadResult> {
  const { space, store, values, types, elements, legs } = work;
  const shape = store.shapes.of(store.decisions, root);
  const { ends } = shape;
  const re = new Float64Array(ends.length);
  const im = new Float64Array(ends.length);
  const size = new Float64Array(ends.length);
  store.leaves.read(ends, elements, legs, types, re, im);
  // Of a load that an edit did not reach nothing is new, and what was worked out about it holds.
  const before = shape.results?.find((one) => one.type === type && one.tree.hasVolts(re, im));
  if (before !== undefined) return before;
  for (let end = 0; end < ends.length; end++) size[end] = Math.sqrt(re[end]! * re[end]! + im[end]! * im[end]!);
  const groups = groupValues(values, types, type, shape, re, im, size);
  const { groupOf, count, masks } = groups;
  let told = shape.told;
  if (told === undefined || told.masks !== masks || !same(told.groups, groupOf)) {
    const present = new Uint8Array(count);
    let marks = 0;
    for (let end = 0; end < ends.length; end++) {
      present[groupOf[end]!] = 1;
      marks |= 1 << groupOf[end]!;
    }
    const outcomes = new Outcomes(space.diagrams, work.outcomes, shape, groupOf);
    const fresh: StateSet[] = [];
    let nodes = space.diagrams.nodeCount;
    const many = masks?.length ?? count;
    for (let one = 0; one < many; one++) {
      if (masks !== undefined) fresh.push(outcomes.setOfAny(masks[one]! & marks));
      else fresh.push(present[one] === 1 ? outcomes.setOf(one) : EMPTY);
      if (space.diagrams.nodeCount - nodes < NODES_PER_JOB) continue;
      nodes = space.diagrams.nodeCount;
      yield;
    }
    shape.told = told = { groups: groupOf, masks, sets: fresh };
  }
  const content = work.known.contents++;
  const result: LoadResult = { type, groups, told, tree: new LoadTree(shape, re, im, size), content };
  const most = ends.length < LARGE_SHAPE ? MOST_RESULTS : 1;
  shape.results = [result, ...(shape.results ?? [])].slice(0, most);
  return result;
}

function same(a: Int32Array, b: Int32Array): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/** Works all loads out. */
export function* loadSets(work: LoadWork): Generator<void, LoadSets> {
  const { circuit, space, live, zones } = work;
  const { diagrams } = space;
  const loads = circuit.machine.loads.length;
  const atLeast = new Int32Array(4 * loads);
  const open: LoadId[] = [];
  const all: Cells[] = Array.from({ length: loads }, () => []);
  const contents = new Int32Array(loads).fill(-1);
  const fed = new Int32Array(loads);
  const trees: LoadTree[] = [];
  for (const zone of zones) {
    if (zone.loads.length === 0) continue;
    const results = yield* zoneResults(work, zone);
    zone.loads.forEach((load, index) => {
      const { groups, told, tree, content } = results[index]!;
      if (told.here?.live !== live)
        told.here = {
          live,
          sets: told.sets.map((set, one) =>
            one === 0 && groups.masks === undefined ? diagrams.minus(live, set) : diagrams.and(set, live),
          ),
        };
      const { sets } = told.here;
      fed[load] = sets[0]!;
      trees[load] = tree;
      contents[load] = content;
      const cells: number[] = [];
      if (groups.masks !== undefined) {
        for (let one = OFF + 1; one <= OVER; one++) atLeast[one * loads + load] = sets[one]!;
        if (sets[OVER + 1] !== EMPTY) open.push(load);
      }
      for (let group = 1; group < groups.values.length; group++) {
        // Another load of the same shape may have told fewer groups.
        const set = sets[group] ?? EMPTY;
        if (set === EMPTY) continue;
        cells.push(groups.values[group]!, set);
        if (group === groups.open) open.push(load);
        for (let one = OFF + 1; one <= groups.classes[group]!; one++)
          atLeast[one * loads + load] = diagrams.or(atLeast[one * loads + load]!, set);
      }
      all[load] = cells;
    });
  }
  return { cells: all, contents, fed, trees, atLeast, open };
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
    const { leaves } = work.store;
    const isWeak = (end: Decision): number => {
      if (end === NONE) return 0;
      if (end === OPEN) return 1;
      const at = leaves.phasorOf(end, work.elements, work.legs, work.types);
      return work.types.classOf(type, Math.hypot(leaves.re[at]!, leaves.im[at]!)) > OFF ? 1 : 0;
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
