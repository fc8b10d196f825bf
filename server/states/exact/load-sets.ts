/**
 * Volts and classes of every load in every state. Steps whose column of contacts is the same are worked out together: the
 * contacts that a column settles are merged or left out at once, the rest goes to the pieces.
 */
import type { Circuit } from "../../circuit/circuit.ts";
import type { ContactId, Load, LoadId } from "../../machine/machine.ts";
import { EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import { IntTable } from "./int-table.ts";
import {
  addCell,
  type Cells,
  COUPLED,
  GATED,
  MOST_VALUES,
  PART,
  type Pieces,
  putTogether,
  SLICE_END,
  VARYING,
  WIRE,
} from "./pieces.ts";
import type { Space } from "./space.ts";
import { type LoadTypes, NOT_COVERED, OFF, OVER, type Values } from "./values.ts";

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
  /** Load type of each load. */
  readonly typeOf: Int32Array;
  /** StateSet in which each contact is closed. */
  readonly closed: Int32Array;
  /** For each leg, for each joint: the states in which closed contacts tie them. */
  readonly legReach: readonly Int32Array[];
  /** Supply on and no legs tied. */
  readonly live: StateSet;
}

interface Column {
  readonly steps: StateSet;
  /** A step of the column. */
  readonly step: number;
}

/** Steps in groups that look the same to contacts and loads. */
function columnsOf({ circuit, space, closed }: LoadWork): Column[] {
  const { diagrams } = space;
  if (space.stepControl < 0) return [{ steps: FULL, step: 0 }];
  const moving = [...closed].filter((set) => diagrams.dependsOnSteps(set));
  const byStep = circuit.machine.loads.some((load) => load.control === space.stepControl && load.impedance.length > 1);
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
  return marks.map((mask, column) => ({ steps: diagrams.literal(STEPS, mask), step: first[column]! }));
}

/** Joint numbers of the pieces: legs first (one for each joint that has one), then all joints. */
export function pieceJoints(circuit: Circuit): { jointOf: Int32Array; count: number } {
  const legs = circuit.legJoint.length;
  const jointOf = Int32Array.from({ length: circuit.jointCount }, (_, joint) => joint + legs);
  for (let leg = legs - 1; leg >= 0; leg--) jointOf[circuit.legJoint[leg]!] = leg;
  return { jointOf, count: circuit.jointCount + legs };
}

/** Reactance that lets pass the stated leakage at the volts of the largest leg. */
function largestLeg(circuit: Circuit): number {
  return Math.max(0, ...circuit.legRe.map((re, leg) => Math.hypot(re, circuit.legIm[leg]!)));
}

/** A contact taken out, and all that this can change. */
export interface Opened {
  readonly contact: ContactId;
  readonly contacts: readonly ContactId[];
  readonly loads: readonly LoadId[];
}

/** Edges of one column. */
function edgesOf(work: LoadWork, column: Column, joints: Int32Array, opened?: Opened): number[] {
  const { circuit, space, types, typeOf, closed } = work;
  const { machine } = circuit;
  const { diagrams } = space;
  const edges: number[] = [];
  const contacts = opened ? opened.contacts.map((id) => machine.contacts[id]!) : machine.contacts;
  const loads = opened ? opened.loads.map((id) => machine.loads[id]!) : machine.loads;
  for (const contact of contacts) {
    if (contact.id === opened?.contact) continue;
    const a = joints[circuit.contactA[contact.id]!]!;
    const b = joints[circuit.contactB[contact.id]!]!;
    const set = diagrams.fix(closed[contact.id]!, STEPS, column.step);
    if (contact.ohms === 0) {
      if (set !== EMPTY) edges.push(WIRE, a, b, set, 0, -1);
    } else edges.push(GATED, a, b, set, types.resistor(contact.ohms), -1);
    const volts = largestLeg(circuit);
    if (contact.leaks && volts > 0)
      edges.push(GATED, a, b, diagrams.not(set), types.capacitance(contact.leaks / volts), -1);
  }
  for (const load of loads) {
    const a = joints[circuit.loadA[load.id]!]!;
    const b = joints[circuit.loadB[load.id]!]!;
    const varies = load.control !== undefined && load.impedance.length > 1;
    if (varies && load.control !== space.stepControl) {
      edges.push(VARYING, a, b, typeOf[load.id]!, space.level[load.control!]!, load.id);
      continue;
    }
    const position = varies ? column.step : 0;
    const ohms = load.impedance[position];
    if (ohms === undefined || !Number.isFinite(ohms.re) || !Number.isFinite(ohms.im)) continue;
    if (ohms.re === 0 && ohms.im === 0 && load.kind !== "diode") edges.push(WIRE, a, b, FULL, 0, -1);
    else edges.push(PART, a, b, typeOf[load.id]!, position, load.id);
  }
  machine.transformers.forEach((transformer, index) => {
    const at = (terminal: number): number => joints[circuit.jointOf[terminal]!]!;
    edges.push(COUPLED, at(transformer.primary[0]), at(transformer.primary[1]), index, 0, -1);
    edges.push(COUPLED, at(transformer.secondary[0]), at(transformer.secondary[1]), index, 1, -1);
  });
  return edges;
}

/**
 * Works the loads out, a column at a time.
 *
 * @param opened with a contact taken out: only its surroundings, in states in which it would be closed
 */
export function* loadSets(work: LoadWork, opened?: Opened): Generator<void, LoadSets> {
  const { circuit, space, pieces, values, types, typeOf, live } = work;
  const { diagrams } = space;
  const loads = circuit.machine.loads.length;
  const { jointOf, count } = pieceJoints(circuit);
  // Value and set without steps -> steps in which it holds: columns with the same result are put together first.
  const found: Map<number, Map<StateSet, StateSet>>[] = Array.from({ length: loads }, () => new Map());
  let before = pieces.count;
  for (const column of columnsOf(work)) {
    if (opened && diagrams.and(work.closed[opened.contact]!, column.steps) === EMPTY) continue;
    let out: Cells[] = [];
    for (let done = false; !done; ) {
      pieces.slice = opened ? Infinity : PIECES_PER_JOB;
      try {
        out = [];
        pieces.solve(edgesOf(work, column, jointOf, opened), count, out);
        done = true;
      } catch (end) {
        if (end !== SLICE_END) throw end;
        yield;
      }
    }
    for (let load = 0; load < loads; load++) {
      const cells = out[load];
      if (cells === undefined) continue;
      for (let i = 0; i < cells.length; i += 2) {
        let sets = found[load]!.get(cells[i]!);
        if (sets === undefined) found[load]!.set(cells[i]!, (sets = new Map()));
        sets.set(cells[i + 1]!, diagrams.or(sets.get(cells[i + 1]!) ?? EMPTY, column.steps));
      }
    }
    if (pieces.count - before > PIECES_PER_JOB) {
      before = pieces.count;
      yield;
    }
  }
  const atLeast = new Int32Array(4 * loads);
  const open: LoadId[] = [];
  const all = found.map((byValue, load) => {
    let cells: number[] = [];
    for (const [value, sets] of byValue) {
      let sum: StateSet = EMPTY;
      for (const [set, steps] of sets) sum = diagrams.or(sum, diagrams.and(set, steps));
      addCell(diagrams, cells, value, diagrams.and(sum, live));
    }
    if (cells.length > 2 * MOST_VALUES && !types.types[typeOf[load]!]!.keepsValues)
      cells = putTogether(diagrams, values, types, typeOf[load]!, cells);
    for (let i = 0; i < cells.length; i += 2) {
      if (cells[i] === NOT_COVERED && !open.includes(load)) open.push(load);
      const least = types.classOf(typeOf[load]!, values.hi[cells[i]!]!);
      for (let one = OFF + 1; one <= Math.min(least, OVER); one++) {
        if (cells[i] === NOT_COVERED && one === OVER) continue;
        atLeast[one * loads + load] = diagrams.or(atLeast[one * loads + load]!, cells[i + 1]!);
      }
    }
    return cells;
  });
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
