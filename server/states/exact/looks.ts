/**
 * Sets of states taken apart by what the circuit near a place looks like (which contacts there are closed, which impedance loads
 * have), for the few questions that no sum or diagram answers.
 */
import type { ContactId, ControlId, LoadId, MachineState } from "../../machine/machine.ts";
import { FULL, type StateSet } from "./diagram.ts";
import type { LoadWork } from "./load-sets.ts";

export interface Neighbourhood {
  readonly contacts: readonly ContactId[];
  readonly loads: readonly LoadId[];
}

/** Everything that can influence what happens at the joints: along contacts, loads and transformers, not through legs. */
export function neighbourhood(work: LoadWork, joints: readonly number[]): Neighbourhood {
  const { circuit } = work;
  const { machine } = circuit;
  const legs = new Set<number>(circuit.legJoint);
  // From leg to leg: whatever else joins those legs may share the current.
  if (joints.every((joint) => legs.has(joint)))
    return { contacts: machine.contacts.map(({ id }) => id), loads: machine.loads.map(({ id }) => id) };
  const seen = new Set<number>();
  const contacts = new Set<ContactId>();
  const loads = new Set<LoadId>();
  const pending = joints.filter((joint) => !legs.has(joint));
  const visit = (joint: number): void => {
    if (!legs.has(joint) && !seen.has(joint)) pending.push(joint);
  };
  for (let joint = pending.pop(); joint !== undefined; joint = pending.pop()) {
    if (seen.has(joint)) continue;
    seen.add(joint);
    for (const { id } of machine.contacts) {
      if (circuit.contactA[id] !== joint && circuit.contactB[id] !== joint) continue;
      contacts.add(id);
      visit(circuit.contactA[id]!);
      visit(circuit.contactB[id]!);
    }
    for (const { id } of machine.loads) {
      if (circuit.loadA[id] !== joint && circuit.loadB[id] !== joint) continue;
      loads.add(id);
      visit(circuit.loadA[id]!);
      visit(circuit.loadB[id]!);
    }
    for (const { primary, secondary } of machine.transformers) {
      const ends = [...primary, ...secondary].map((terminal) => circuit.jointOf[terminal]!);
      if (ends.includes(joint)) ends.forEach(visit);
    }
  }
  return { contacts: [...contacts], loads: [...loads] };
}

/** All states that look like `state` there. */
export function lookAlikes(work: LoadWork, { contacts, loads }: Neighbourhood, state: MachineState): StateSet {
  const { space, closed, circuit } = work;
  const { diagrams } = space;
  let set: StateSet = FULL;
  for (const contact of contacts) {
    const where = closed[contact]!;
    set = space.has(where, state) ? diagrams.and(set, where) : diagrams.minus(set, where);
  }
  const controls = new Set<ControlId>([circuit.machine.supply.control]);
  for (const load of loads) {
    const { control, impedance } = circuit.machine.loads[load]!;
    if (control !== undefined && impedance.length > 1) controls.add(control);
  }
  for (const control of controls) set = diagrams.and(set, space.at(control, state[control]!));
  return set;
}

/** The contacts that touch what closed contacts join with the joints in this state, not going through legs. */
export function groupContacts(
  { circuit, space, closed }: LoadWork,
  joints: readonly number[],
  state: MachineState,
): ContactId[] {
  const { contacts } = circuit.machine;
  const legs = new Set<number>(circuit.legJoint);
  const group = new Set(joints);
  const found = new Set<ContactId>();
  for (const joint of group) {
    if (legs.has(joint)) continue;
    for (const { id } of contacts) {
      const a = circuit.contactA[id]!;
      const b = circuit.contactB[id]!;
      if ((a !== joint && b !== joint) || found.has(id)) continue;
      found.add(id);
      if (!space.has(closed[id]!, state)) continue;
      group.add(a);
      group.add(b);
    }
  }
  return [...found];
}
