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
import { doubles, LoadTree } from "./load-tree.ts";
import { type OutcomeStore, Outcomes } from "./outcomes.ts";
import { type JointPlace, type PieceStore, type Pieces, SLICE_END } from "./pieces.ts";
import { COUPLED, GATED, PART, STRIDE, VARYING, WIRE } from "./reduce.ts";
import type { SearchStore } from "./search.ts";
import type { LatestVolts, Shape, ToldSets } from "./shapes.ts";
import type { Space } from "./space.ts";
import { type Cells, groupValues, NO_VALUE, type ValueGroups } from "./value-groups.ts";
import { type LoadTypes, NEVER, OFF, OVER, type Values, WEAK } from "./values.ts";
import type { Zone } from "./zones.ts";

/** Pieces between two yields, nodes of diagrams between two yields: a few milliseconds of work each. */
const PIECES_PER_JOB = 150;
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
  /** By joint, for ends of contacts that are no legs: what their volts are in every state. None beside what no sum tells (`tellsJoints`). */
  readonly places: readonly (readonly JointPlace[] | undefined)[];
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

/** Loads and joints of zones whose decisions are kept. */
const MOST_ROOTS = 20_000;

export class ZoneStore {
  /** How many contents of loads, and of zones, have been numbered. */
  contents = 0;
  zones = 0;
  /** By connections and where elements are, whatever loads draw. */
  readonly decisions = new Kept<ZoneDecisions>(MOST_ROOTS);
  /** By the number of those decisions, the legs and what the elements are worth. */
  readonly results = new Kept<ZoneResult>(MOST_PLACES);
}

/** Joint numbers of the pieces: legs first (one for each joint that has one), then all joints. */
interface PieceJoints {
  readonly jointOf: Int32Array;
  readonly count: number;
}

function pieceJoints(circuit: Circuit): PieceJoints {
  const legs = circuit.legJoint.length;
  const jointOf = new Int32Array(circuit.jointCount);
  for (let joint = 0; joint < jointOf.length; joint++) jointOf[joint] = joint + legs;
  for (let leg = legs - 1; leg >= 0; leg--) jointOf[circuit.legJoint[leg]!] = leg;
  return { jointOf, count: circuit.jointCount + legs };
}

export function largestLeg(circuit: Circuit): number {
  return Math.max(0, ...circuit.legRe.map((re, leg) => Math.hypot(re, circuit.legIm[leg]!)));
}

/**
 * Edges of a zone; owners are numbered as its loads are.
 *
 * @param opened a contact that is left out; -1: none
 */
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

/** What volts in a zone depend on. */
interface ZoneDecisions {
  /** Different for each content. */
  readonly number: number;
  /** By loads of the zone, in their order. */
  readonly roots: readonly Decision[];
  /** By the joints that were asked for, in their order. */
  readonly places: readonly (readonly JointPlace[])[];
}

/** `edges` is used up. */
function* decisionsOf(
  work: LoadWork,
  zone: Zone,
  edges: number[],
  joints: number,
  asked: readonly number[],
): Generator<void, Omit<ZoneDecisions, "number">> {
  const { pieces } = work;
  for (;;) {
    pieces.slice = PIECES_PER_JOB;
    try {
      const roots: Decision[] = new Array(zone.loads.length).fill(NONE);
      if (asked.length > 0) return { roots, places: pieces.solveWithPlaces(edges.slice(), joints, roots, asked) };
      pieces.solve(edges.slice(), joints, roots);
      return { roots, places: [] };
    } catch (end) {
      if (end !== SLICE_END) throw end;
      yield;
    }
  }
}

/** Ends of contacts of a zone, which are no legs. */
function endsIn({ circuit }: LoadWork, zone: Zone): number[] {
  const { contactA, contactB, legJoint } = circuit;
  const joints = new Set<number>();
  for (const contact of zone.contacts) joints.add(contactA[contact]!).add(contactB[contact]!);
  for (const joint of legJoint) joints.delete(joint);
  return [...joints];
}

/** True when volts of joints are told: not beside diodes and transformers, nor where contacts have ohms. */
function tellsJoints(
  { circuit: { machine } }: LoadWork,
  { loads, transformers }: Zone,
  edges: readonly number[],
): boolean {
  if (transformers.length > 0 || loads.some((load) => machine.loads[load]!.kind === "diode")) return false;
  for (let e = 0; e < edges.length; e += STRIDE) if (edges[e] === GATED) return false;
  return true;
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

/** Found again by content, whatever ids are. */
interface ZoneResult {
  /** Of its loads, in their order. */
  readonly loads: readonly LoadResult[];
  /** Of the ends of its contacts (`endsIn`), in their order. */
  readonly places: readonly (readonly JointPlace[])[];
}

function* zoneResult(work: LoadWork, zone: Zone, { jointOf, count }: PieceJoints): Generator<void, ZoneResult> {
  const { pieces, elements, legs, known, typeOf } = work;
  const edges = edgesOf(work, zone, jointOf, -1);
  const asks = tellsJoints(work, zone, edges);
  const content = pieces.contentOf(edges);
  content.push(asks ? 1 : 0);
  const spent = pieces.spent;
  let decisions = known.decisions.find(content);
  const key = [decisions?.number ?? -1, legs.key];
  for (let e = 0; e < edges.length; e += STRIDE) {
    const kind = edges[e]!;
    if (kind === WIRE) continue;
    const element = kind === COUPLED ? edges[e + 3]! >> 1 : kind === GATED ? edges[e + 4]! : edges[e + 3]!;
    key.push(elements.typeOf[element]!);
  }
  if (decisions === undefined) {
    const asked = asks ? endsIn(work, zone).map((joint) => jointOf[joint]!) : [];
    const found = yield* decisionsOf(work, zone, edges, count, asked);
    decisions = { ...found, number: known.zones++ };
    key[0] = decisions.number;
    if (pieces.spent === spent) known.decisions.keep(content, decisions, zone.loads.length + asked.length + 1);
  } else {
    const before = known.results.find(key);
    if (before !== undefined) return before;
  }
  const { roots, places } = decisions;
  const results: LoadResult[] = [];
  for (const [owner, load] of zone.loads.entries()) {
    results.push(yield* loadResult(work, roots[owner]!, typeOf[load]!));
    yield;
  }
  const result = { loads: results, places };
  const size = results.reduce((sum, { tree }) => sum + tree.shape.tests.length, 1);
  if (pieces.spent === spent) known.results.keep(key, result, size);
  return result;
}

/** Decisions as a tree with the volts at its ends. After an edit the same tree where it has the same volts. */
export function treeOf(work: LoadWork, root: Decision): LoadTree {
  return latestVolts(work, work.store.shapes.of(work.store.decisions, root)).tree;
}

/** Reads the volts at the ends of a shape: after an edit of ohms only those of islands that are no longer as they were. */
function latestVolts({ store: { leaves }, elements, legs, types }: LoadWork, shape: Shape): LatestVolts {
  const { ends, latest } = shape;
  if (latest === undefined) {
    const re = doubles(ends.length);
    const im = doubles(ends.length);
    leaves.read(ends, elements, legs, types, re, im);
    return (shape.latest = { tree: new LoadTree(shape, re, im), readAt: leaves.changes });
  }
  const { tree, readAt } = latest;
  const changed = leaves.changedSince(readAt, ends, elements, legs, types);
  if (changed.length === 0) return (shape.latest = { tree, readAt: leaves.changes });
  const re = tree.re.slice();
  const im = tree.im.slice();
  const sizes = tree.sizes.slice();
  leaves.reread(changed, ends, re, im, sizes);
  const before = { tree, ends: changed };
  return (shape.latest = { tree: new LoadTree(shape, re, im, sizes), readAt: leaves.changes, before });
}

/** Results of a shape that are kept: of the machine as it is, of its changed copies and of earlier ones; of large shapes fewer. */
const MOST_RESULTS = 6;
const LARGE_SHAPE = 500;

function* loadResult(work: LoadWork, root: Decision, type: number): Generator<void, LoadResult> {
  const { space, values, types } = work;
  const shape = work.store.shapes.of(work.store.decisions, root);
  const { tree, before: earlier } = latestVolts(work, shape);
  const { ends } = shape;
  // Of a load that an edit did not reach nothing is new, and what was worked out about it holds.
  const known = shape.results?.find((one) => one.type === type && hasVolts(one.tree, tree, earlier?.ends));
  if (known !== undefined) return known;
  const last = earlier && shape.results?.find((one) => one.type === type && one.tree === earlier.tree);
  const groups = groupValues(values, types, type, tree, last && { groups: last.groups, ends: earlier.ends });
  const { groupOf, count, masks } = groups;
  let told = shape.told;
  if (told === undefined || told.masks !== masks || (told.groups !== groupOf && !same(told.groups, groupOf))) {
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
  const result: LoadResult = { type, groups, told, tree, content };
  const most = ends.length < LARGE_SHAPE ? MOST_RESULTS : 1;
  shape.results = [result, ...(shape.results ?? [])].slice(0, most);
  return result;
}

/** @param first ends at which they are likely to differ */
function hasVolts(one: LoadTree, other: LoadTree, first: Int32Array | undefined): boolean {
  return one === other || ((!first || one.hasVoltsAt(first, other)) && one.hasVoltsOf(other));
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
  const places: (readonly JointPlace[])[] = [];
  const joints = pieceJoints(circuit);
  for (const zone of zones) {
    if (zone.loads.length === 0 && zone.contacts.length === 0) continue;
    const result = yield* zoneResult(work, zone, joints);
    if (result.places.length > 0)
      endsIn(work, zone).forEach((joint, index) => {
        places[joint] = result.places[index]!;
      });
    zone.loads.forEach((load, index) => {
      const { groups, told, tree, content } = result.loads[index]!;
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
        if (groups.values[group] !== NO_VALUE) cells.push(groups.values[group]!, set);
        if (group === groups.open) open.push(load);
        for (let one = OFF + 1; one <= groups.classes[group]!; one++)
          atLeast[one * loads + load] = diagrams.or(atLeast[one * loads + load]!, set);
      }
      all[load] = cells;
    });
  }
  return { cells: all, contents, fed, trees, places, atLeast, open };
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
    this.roots = toEnd(decisionsOf(work, zone, edgesOf(work, zone, jointOf, opened), count, [])).roots;
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
  const keep = new Map<LoadId, number>();
  for (const { rule } of machine.controls) {
    // A torque is asked about where both windings are energised.
    if (rule?.rule === "motor" && rule.starts.length > 0)
      for (const load of [...rule.mains, ...rule.starts]) keep.set(load, Math.min(keep.get(load) ?? NEVER, WEAK));
    if (rule?.rule === "current") keep.set(rule.load, OFF);
  }
  const volts = largestLeg(circuit);
  return Int32Array.from(machine.loads, (load: Load) => types.load(load, volts, keep.get(load.id) ?? NEVER));
}
