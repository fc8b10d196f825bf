/**
 * Current through one contact as a sum of load currents: Kirchhoff's law on one side of it.
 *
 * With the contact closed, take everything that other closed contacts join with one of its ends without going through a leg.
 * When no leg is on that side, all current through the contact leaves into the loads there. In states in which both sides have a
 * leg or the sides meet, contacts are in parallel and share the current (`rings.ts`).
 */
import type { ContactId, LoadId } from "../../machine/machine.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import { reachSets } from "./leg-reach.ts";
import type { LoadWork } from "./load-sets.ts";
import type { Rings } from "./rings.ts";
import { type Group, signedParts } from "./search.ts";

/** States in which the current is a sum over loads: in each part of a load its current (first terminal to second) counts so many times. */
export interface Side {
  readonly where: StateSet;
  readonly loads: readonly { readonly load: LoadId; readonly parts: Group["parts"] }[];
}

export interface Flow {
  readonly sides: readonly Side[];
  /** States in which no sum tells the current: they are solved one arrangement of contacts at a time. */
  readonly untold: StateSet;
}

/**
 * @param care states that matter: contact closed, supply on, legs not tied
 * @param rigid true when the contact stands for a conductor without any resistance
 */
export function flowOf(work: LoadWork, rings: Rings, contact: ContactId, care: StateSet, rigid: boolean): Flow {
  const { circuit, space, closed } = work;
  const { diagrams } = space;
  const { machine } = circuit;
  const a = circuit.contactA[contact]!;
  const b = circuit.contactB[contact]!;
  if (care === EMPTY) return { sides: [], untold: EMPTY };
  if (a === b) return { sides: [{ where: care, loads: [] }], untold: EMPTY };
  if (isSpecial(work)) return { sides: [], untold: care };
  const stop = new Uint8Array(circuit.jointCount);
  for (const joint of circuit.legJoint) stop[joint] = 1;
  const links = { a: circuit.contactA, b: circuit.contactB, set: closed, at: work.contactsAt };
  const side = (from: number, to: number): { reach: Int32Array; legs: StateSet; meets: StateSet } => {
    if (stop[from] === 1) return { reach: new Int32Array(circuit.jointCount), legs: FULL, meets: EMPTY };
    const reach = reachSets(diagrams, links, from, FULL, stop, contact);
    let legs: StateSet = EMPTY;
    for (const joint of circuit.legJoint) legs = diagrams.or(legs, reach[joint]!);
    return { reach, legs, meets: stop[to] === 1 ? EMPTY : reach[to]! };
  };
  /** All current comes out of (1) or goes into (-1) the loads on a side. */
  const loadsOn = (reach: Int32Array, where: StateSet): Side => {
    const loads: Side["loads"][number][] = [];
    for (const { id } of machine.loads) {
      if (reach[circuit.loadA[id]!] === EMPTY && reach[circuit.loadB[id]!] === EMPTY) continue;
      const first = reach[circuit.loadA[id]!]!;
      const second = reach[circuit.loadB[id]!]!;
      if (first === second) continue;
      loads.push({ load: id, parts: signedParts(diagrams.minus(first, second), diagrams.minus(second, first)) });
    }
    return { where, loads };
  };
  const atB = side(b, a);
  // A joint that is a leg is no load's side, even when it is reached.
  for (const joint of circuit.legJoint) atB.reach[joint] = EMPTY;
  const byB = diagrams.minus(diagrams.minus(care, atB.legs), atB.meets);
  const rest = diagrams.minus(diagrams.and(care, atB.legs), atB.meets);
  const sides = byB === EMPTY ? [] : [loadsOn(atB.reach, byB)];
  let mixed = diagrams.and(care, atB.meets);
  if (rest !== EMPTY) {
    const atA = side(a, b);
    for (const joint of circuit.legJoint) atA.reach[joint] = EMPTY;
    const byA = diagrams.minus(diagrams.minus(rest, atA.legs), atA.meets);
    if (byA !== EMPTY) sides.push(loadsOn(atA.reach, byA));
    mixed = diagrams.or(mixed, diagrams.minus(rest, byA));
  }
  if (mixed === EMPTY) return { sides, untold: EMPTY };
  const shared = rings.of(contact, mixed, rigid);
  for (const { where, loads } of shared.sides) sides.push({ where: diagrams.and(where, mixed), loads });
  return { sides, untold: shared.left };
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
