/** What decides the volts of a load in a state: supply legs keep their volts, so only what is met on the way to them matters. */
import { Beside } from "../base/beside.ts";
import type { ContactId, ControlId, LoadId, MachineState } from "../machine/machine.ts";
import { loadImpedance } from "./arrange.ts";
import type { Circuit } from "./circuit.ts";
import { conditionHolds } from "./condition.ts";

/**
 * In every state in which these contacts stand alike and these controls stand in the same position, the load has the same
 * volts, and the same loads are in series with it.
 */
export interface Surroundings {
  /** Contacts at the joints met, closed and open, in order of their ids. */
  readonly contacts: readonly ContactId[];
  /** Conducting loads at those joints beside the load itself. */
  readonly loads: readonly LoadId[];
  /** Controls on which the impedance of such a load, or of one that does not conduct, depends. */
  readonly controls: readonly ControlId[];
}

/** By joint: what ends there. */
export interface Neighbours {
  readonly isLeg: Uint8Array;
  readonly contacts: readonly (readonly ContactId[])[];
  readonly loads: readonly (readonly LoadId[])[];
  /** Joints of the windings of one transformer, at each of them. */
  readonly windings: readonly (readonly number[])[];
}

const kept = new Beside<Circuit, Neighbours>();

export function surroundings(circuit: Circuit, state: MachineState, load: LoadId): Surroundings {
  const { machine, contactA, contactB, loadA, loadB } = circuit;
  const { isLeg, contacts, loads, windings } = neighboursOf(circuit);
  const met = new Set<number>();
  const contactsMet = new Set<ContactId>();
  const loadsMet = new Set<LoadId>();
  const controls = new Set<ControlId>();
  const waiting: number[] = [];
  const go = (joint: number): void => {
    if (isLeg[joint] || met.has(joint)) return;
    met.add(joint);
    waiting.push(joint);
  };
  go(loadA[load]!);
  go(loadB[load]!);
  for (let joint = waiting.pop(); joint !== undefined; joint = waiting.pop()) {
    for (const id of contacts[joint]!) {
      contactsMet.add(id);
      const { closed, leaks } = machine.contacts[id]!;
      if (leaks || conditionHolds(closed, state)) go(contactA[id] === joint ? contactB[id]! : contactA[id]!);
    }
    for (const id of loads[joint]!) {
      const each = machine.loads[id]!;
      if (each.control !== undefined && each.impedance.length > 1) controls.add(each.control);
      if (!loadImpedance(each, state)) continue;
      if (id !== load) loadsMet.add(id);
      go(loadA[id] === joint ? loadB[id]! : loadA[id]!);
    }
    for (const other of windings[joint]!) go(other);
  }
  const sorted = (ids: Iterable<number>) => [...ids].sort((a, b) => a - b);
  return { contacts: sorted(contactsMet), loads: sorted(loadsMet), controls: sorted(controls) };
}

/** Kept with the circuit. */
export function neighboursOf(circuit: Circuit): Neighbours {
  const known = kept.get(circuit);
  if (known) return known;
  const { machine, jointCount, jointOf, contactA, contactB, loadA, loadB, legJoint } = circuit;
  const lists = (): number[][] => Array.from({ length: jointCount }, () => []);
  const isLeg = new Uint8Array(jointCount);
  for (const joint of legJoint) isLeg[joint] = 1;
  const byJoint = (a: Int32Array, b: Int32Array): number[][] => {
    const found = lists();
    for (let id = 0; id < a.length; id++) {
      found[a[id]!]!.push(id);
      if (a[id] !== b[id]) found[b[id]!]!.push(id);
    }
    return found;
  };
  const windings = lists();
  for (const { primary, secondary } of machine.transformers) {
    const joints = [...primary, ...secondary].map((terminal) => jointOf[terminal]!);
    for (const joint of joints) windings[joint]!.push(...joints);
  }
  const made = { isLeg, contacts: byJoint(contactA, contactB), loads: byJoint(loadA, loadB), windings };
  kept.set(circuit, made);
  return made;
}
