/**
 * Current through one contact as a sum of load currents: Kirchhoff's law on one side of it.
 *
 * With the contact closed, take everything that other closed contacts join with one of its ends without going through a leg.
 * When no leg is on that side, all current through the contact leaves into the loads there. States in which both sides have a
 * leg or the sides meet (contacts in parallel), and machines with contacts of some ohms, leaks or transformers there, are `mixed`:
 * they are solved one arrangement at a time.
 */
import type { ContactId, LoadId } from "../../machine/machine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { reachSets } from "./leg-reach.ts";
import type { LoadWork } from "./load-sets.ts";

export interface Side {
  /** States in which the current is the sum over this side. */
  readonly where: StateSet;
  readonly loads: readonly {
    readonly load: LoadId;
    /** States in which only the first terminal is on this side (+1), only the second (-1). */
    readonly plus: StateSet;
    readonly minus: StateSet;
  }[];
}

export interface Flow {
  readonly sides: readonly Side[];
  readonly mixed: StateSet;
  /** In mixed states: loads that contacts join with either end, and where. No current through the contact is more than theirs together. */
  readonly around: readonly { readonly load: LoadId; readonly near: StateSet }[];
  /** True when contacts of some ohms, leaks, diodes or transformers make the sum over `around` no bound. */
  readonly special: boolean;
}

/** @param care states that matter: contact closed, supply on, legs not tied */
export function flowOf(work: LoadWork, contact: ContactId, care: StateSet): Flow {
  const { circuit, space, closed } = work;
  const { diagrams } = space;
  const { machine } = circuit;
  const a = circuit.contactA[contact]!;
  const b = circuit.contactB[contact]!;
  if (care === EMPTY) return { sides: [], mixed: EMPTY, around: [], special: false };
  if (a === b) return { sides: [{ where: care, loads: [] }], mixed: EMPTY, around: [], special: false };
  if (isSpecial(work)) return { sides: [], mixed: care, around: [], special: true };
  const stop = new Uint8Array(circuit.jointCount);
  for (const joint of circuit.legJoint) stop[joint] = 1;
  const links = { a: circuit.contactA, b: circuit.contactB, set: closed, at: work.contactsAt };
  const side = (from: number, to: number, start: StateSet): { reach: Int32Array; legs: StateSet; meets: StateSet } => {
    if (stop[from] === 1) return { reach: new Int32Array(circuit.jointCount), legs: start, meets: EMPTY };
    const reach = reachSets(diagrams, links, from, start, stop, contact);
    let legs: StateSet = EMPTY;
    for (const joint of circuit.legJoint) legs = diagrams.or(legs, reach[joint]!);
    return { reach, legs, meets: stop[to] === 1 ? EMPTY : reach[to]! };
  };
  const loadsOn = (reach: Int32Array, where: StateSet): Side => {
    const loads: { load: LoadId; plus: StateSet; minus: StateSet }[] = [];
    for (const { id } of machine.loads) {
      if (reach[circuit.loadA[id]!] === EMPTY && reach[circuit.loadB[id]!] === EMPTY) continue;
      const first = diagrams.and(reach[circuit.loadA[id]!]!, where);
      const second = diagrams.and(reach[circuit.loadB[id]!]!, where);
      if (first === second) continue;
      loads.push({ load: id, plus: diagrams.minus(first, second), minus: diagrams.minus(second, first) });
    }
    return { where, loads };
  };
  const around = new Map<LoadId, StateSet>();
  const addAround = (reach: Int32Array, where: StateSet): void => {
    for (const { id } of machine.loads) {
      const ends = diagrams.or(reach[circuit.loadA[id]!]!, reach[circuit.loadB[id]!]!);
      const near = diagrams.and(ends, where);
      if (near !== EMPTY) around.set(id, diagrams.or(around.get(id) ?? EMPTY, near));
    }
  };
  const atB = side(b, a, care);
  // A joint that is a leg is no load's side, even when it is reached.
  for (const joint of circuit.legJoint) atB.reach[joint] = EMPTY;
  const byB = diagrams.minus(diagrams.minus(care, atB.legs), atB.meets);
  const rest = diagrams.minus(diagrams.and(care, atB.legs), atB.meets);
  const sides = byB === EMPTY ? [] : [loadsOn(atB.reach, byB)];
  let mixed = diagrams.and(care, atB.meets);
  // Where the sides meet, everything is reached from this one.
  addAround(atB.reach, mixed);
  if (rest !== EMPTY) {
    const atA = side(a, b, rest);
    for (const joint of circuit.legJoint) atA.reach[joint] = EMPTY;
    const byA = diagrams.minus(diagrams.minus(rest, atA.legs), atA.meets);
    if (byA !== EMPTY) sides.push(loadsOn(atA.reach, byA));
    const neither = diagrams.minus(rest, byA);
    mixed = diagrams.or(mixed, neither);
    addAround(atA.reach, neither);
    addAround(atB.reach, neither);
  }
  return { sides, mixed, around: [...around].map(([load, near]) => ({ load, near })), special: false };
}

/** Contacts with ohms or leaks, loads without ohms, diodes and transformers: sums of load currents do not tell. */
export function isSpecial({ circuit: { machine } }: LoadWork): boolean {
  return (
    machine.transformers.length > 0 ||
    machine.contacts.some(({ ohms, leaks }) => ohms !== 0 || (leaks ?? 0) > 0) ||
    machine.loads.some(
      ({ kind, impedance }) => kind === "diode" || impedance.some((z) => z !== undefined && z.re === 0 && z.im === 0),
    )
  );
}
