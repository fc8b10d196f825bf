/**
 * Volts and classes of every load in every state, zone by zone. Steps whose column of contacts is the same are worked out
 * together: the contacts that a column settles are merged or left out at once, the rest goes to the pieces.
 */
import type { Circuit } from "../../circuit/circuit.ts";
import type { ContactId, Load, LoadId } from "../../machine/machine.ts";
import { type Diagrams, EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import { IntTable } from "./int-table.ts";
import { addCell, type Cells, groupValues, MOST_VALUES, type Pieces, SLICE_END } from "./pieces.ts";
import { COUPLED, GATED, PART, VARYING, WIRE } from "./reduce.ts";
import type { Space } from "./space.ts";
import { joinBySteps } from "./step-join.ts";
import { type LoadTypes, NOT_COVERED, OFF, OVER, type Values } from "./values.ts";
import type { Zone } from "./zones.ts";

/** Pieces between two yields: a few milliseconds of work. */
const PIECES_PER_JOB = 40;

/** What loads do in every state (supply on, legs not shorted, whether reachable or not). */
export interface LoadSets {
  /** By load id. */
  readonly cells: readonly Cells[];
  /** States in which the class is at least weak, works, over: index `class * loads + load`. */
  readonly atLeast: Int32Array;
  /** Loads that the budget left open somewhere. */
  readonly open: readonly LoadId[];
}

export interface LoadWork {
  readonly circuit: Circuit;
  readonly space: Space;
  readonly pieces: Pieces;
  readonly values: Values;
  readonly types: LoadTypes;
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
  readonly results: (readonly Cells[] | undefined)[] = [];
}

interface Column {
  readonly steps: StateSet;
  /** A step of the column. */
  readonly step: number;
}

/** Steps in groups that look the same to the zone. */
function columnsOf({ circuit, space, closed }: LoadWork, zone: Zone): Column[] {
  const { diagrams } = space;
  if (space.stepControl < 0) return [{ steps: FULL, step: 0 }];
  const moving = zone.contacts.map((id) => closed[id]!).filter((set) => diagrams.dependsOnSteps(set));
  const byStep = zone.loads.some((id) => {
    const { control, impedance } = circuit.machine.loads[id]!;
    return control === space.stepControl && impedance.length > 1;
  });
  if (moving.length === 0 && !byStep) return [{ steps: FULL, step: 0 }];
  const table = new IntTable();
  const marks: Uint8Array[] = [];
  const first: number[] = [];
  for (let step = 0; step < diagrams.stepCount; step++) {
    const key = moving.map((set) => diagrams.fix(set, STEPS, step));
    if (byStep) key.push(step);
    const found = table.intern(key, 0, key.length);
    const column = found >= 0 ? found : -1 - found;
    if (found < 0) {
      marks.push(new Uint8Array(diagrams.stepCount));
      first.push(step);
    }
    marks[column]![step] = 1;
  }
  return marks.map((mask, column) => ({
    steps: diagrams.literal(STEPS, mask),
    step: first[column]!,
  }));
}

/** Joint numbers of the pieces: legs first (one for each joint that has one), then all joints. */
function pieceJoints(circuit: Circuit): { jointOf: Int32Array; count: number } {
  const legs = circuit.legJoint.length;
  const jointOf = Int32Array.from({ length: circuit.jointCount }, (_, joint) => joint + legs);
  for (let leg = legs - 1; leg >= 0; leg--) jointOf[circuit.legJoint[leg]!] = leg;
  return { jointOf, count: circuit.jointCount + legs };
}

function largestLeg(circuit: Circuit): number {
  return Math.max(0, ...circuit.legRe.map((re, leg) => Math.hypot(re, circuit.legIm[leg]!)));
}

/** Edges of a zone before any column is chosen: sets may depend on the steps. */
function edgesOf(work: LoadWork, zone: Zone, joints: Int32Array, opened: ContactId): number[] {
  const { circuit, space, types, typeOf, closed } = work;
  const { machine } = circuit;
  const { diagrams } = space;
  const edges: number[] = [];
  for (const id of zone.contacts) {
    const { ohms, leaks } = machine.contacts[id]!;
    if (id === opened) continue;
    const a = joints[circuit.contactA[id]!]!;
    const b = joints[circuit.contactB[id]!]!;
    const set = closed[id]!;
    if (ohms === 0) edges.push(WIRE, a, b, set, 0, -1);
    else edges.push(GATED, a, b, set, types.resistor(ohms), -1);
    const volts = leaks ? largestLeg(circuit) : 0;
    if (leaks && volts > 0) edges.push(GATED, a, b, diagrams.not(set), types.capacitance(leaks / volts), -1);
  }
  zone.loads.forEach((id, owner) => {
    const { control, impedance, kind } = machine.loads[id]!;
    const a = joints[circuit.loadA[id]!]!;
    const b = joints[circuit.loadB[id]!]!;
    if (control !== undefined && impedance.length > 1) {
      edges.push(VARYING, a, b, typeOf[id]!, space.level[control]!, owner);
      return;
    }
    const ohms = impedance[0];
    if (ohms === undefined || !Number.isFinite(ohms.re) || !Number.isFinite(ohms.im)) return;
    if (ohms.re === 0 && ohms.im === 0 && kind !== "diode") edges.push(WIRE, a, b, FULL, 0, -1);
    else edges.push(PART, a, b, typeOf[id]!, 0, owner);
  });
  zone.transformers.forEach((index, local) => {
    const transformer = machine.transformers[index]!;
    const type = types.transformer(transformer);
    const at = (terminal: number): number => joints[circuit.jointOf[terminal]!]!;
    edges.push(COUPLED, at(transformer.primary[0]), at(transformer.primary[1]), 2 * local, type, -1);
    edges.push(COUPLED, at(transformer.secondary[0]), at(transformer.secondary[1]), 2 * local + 1, type, -1);
  });
  return edges;
}

/** The edges in one column: sets and loads without the step control. */
function inColumn({ space, types }: LoadWork, edges: readonly number[], step: number): number[] {
  const { diagrams } = space;
  const result = edges.slice();
  for (let e = 0; e < result.length; e += 6) {
    if (result[e] === WIRE || result[e] === GATED) result[e + 3] = diagrams.fix(result[e + 3]!, STEPS, step);
    else if (result[e] === VARYING && result[e + 4] === STEPS) {
      const ohms = types.types[result[e + 3]!]!.impedance[step];
      result[e] = PART;
      result[e + 4] = step;
      if (ohms === undefined) {
        result[e] = WIRE;
        result[e + 3] = EMPTY;
        result[e + 5] = -1;
      }
    }
  }
  return result;
}

/**
 * Cells of the loads of a zone, in their order.
 *
 * @param opened a contact to take out, -1 for none
 */
function* zoneCells(work: LoadWork, zone: Zone, opened: ContactId): Generator<void, readonly Cells[]> {
  const { circuit, space, pieces, values, types, typeOf, known } = work;
  const { diagrams } = space;
  const { jointOf, count } = pieceJoints(circuit);
  const edges = edgesOf(work, zone, jointOf, opened);
  const key = pieces.contentOf(edges);
  const number = known.table.intern(key, 0, key.length);
  const before = number >= 0 ? known.results[number] : undefined;
  if (before !== undefined) return before;
  const spent = pieces.spent;
  // Value and set without steps -> steps in which it holds: columns with the same result are put together first.
  const found: Map<number, Map<StateSet, StateSet>>[] = zone.loads.map(() => new Map());
  let finished = pieces.count;
  const columns = columnsOf(work, zone);
  for (const column of columns) {
    let out: Cells[] = [];
    for (let done = false; !done; ) {
      pieces.slice = opened >= 0 ? Infinity : PIECES_PER_JOB;
      try {
        out = [];
        pieces.solve(inColumn(work, edges, column.step), count, out);
        done = true;
      } catch (end) {
        if (end !== SLICE_END) throw end;
        yield;
      }
    }
    zone.loads.forEach((_, load) => {
      const cells = out[load];
      if (cells === undefined) return;
      for (let i = 0; i < cells.length; i += 2) {
        let sets = found[load]!.get(cells[i]!);
        if (sets === undefined) found[load]!.set(cells[i]!, (sets = new Map()));
        const before = sets.get(cells[i + 1]!);
        sets.set(cells[i + 1]!, before === undefined ? column.steps : diagrams.or(before, column.steps));
      }
    });
    if (pieces.count - finished > PIECES_PER_JOB) {
      finished = pieces.count;
      yield;
    }
  }
  const result = found.map((byValue, load) => {
    const type = typeOf[zone.loads[load]!]!;
    const apart = byValue.size <= MOST_VALUES || types.types[type]!.keepsValues;
    const groups = apart
      ? [...byValue.keys()].map((value) => [value])
      : groupValues(values, types, type, [...byValue.keys()]);
    const cells: number[] = [];
    for (const group of groups) {
      const value = group.length === 1 ? group[0]! : values.stretch(group);
      const set =
        group.length === 1
          ? overSteps(diagrams, byValue.get(value)!)
          : overColumns(
              diagrams,
              columns,
              group.map((one) => byValue.get(one)!),
            );
      addCell(diagrams, cells, value, set);
    }
    return cells;
  });
  if (pieces.spent === spent) known.results[number >= 0 ? number : -1 - number] = result;
  return result;
}

/** Set without steps -> steps, as one set. */
function overSteps(diagrams: Diagrams, sets: ReadonlyMap<StateSet, StateSet>): StateSet {
  return joinBySteps(diagrams, [...sets.keys()], [...sets.values()]);
}

/** The same for several values together: united column by column first, where sets are small. */
function overColumns(
  diagrams: Diagrams,
  columns: readonly Column[],
  members: readonly ReadonlyMap<StateSet, StateSet>[],
): StateSet {
  const together = new Map<StateSet, StateSet>();
  for (const { steps, step } of columns) {
    let sum: StateSet = EMPTY;
    for (const sets of members)
      for (const [set, where] of sets) if (where === FULL || diagrams.hasStep(where, step)) sum = diagrams.or(sum, set);
    if (sum !== EMPTY) together.set(sum, diagrams.or(together.get(sum) ?? EMPTY, steps));
  }
  return overSteps(diagrams, together);
}

/** Works all loads out. */
export function* loadSets(work: LoadWork, zones = work.zones, opened: ContactId = -1): Generator<void, LoadSets> {
  const { circuit, space, values, types, typeOf, live } = work;
  const { diagrams } = space;
  const loads = circuit.machine.loads.length;
  const atLeast = new Int32Array(4 * loads);
  const open: LoadId[] = [];
  const all: Cells[] = Array.from({ length: loads }, () => []);
  for (const zone of zones) {
    if (zone.loads.length === 0) continue;
    const results = yield* zoneCells(work, zone, opened);
    zone.loads.forEach((load, index) => {
      const result = results[index]!;
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
  return { cells: all, atLeast, open };
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
