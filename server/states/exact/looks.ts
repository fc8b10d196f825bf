/**
 * Sets of states taken apart by what the circuit near a place looks like (which contacts there are closed, which impedance loads
 * have), for the few questions that no sum or diagram answers.
 */
import type { ContactId, ControlId, LoadId, MachineState } from "../../machine/machine.ts";
import { FULL, type StateSet } from "./diagram.ts";
import type { LoadWork } from "./load-sets.ts";
import type { Zone } from "./zones.ts";

export interface Neighbourhood {
  readonly contacts: readonly ContactId[];
  readonly loads: readonly LoadId[];
}

/** Everything that can influence what happens in a zone or, from leg to leg, anywhere. */
export function neighbourhood({ circuit, zones }: LoadWork, zone: Zone, joints: readonly number[]): Neighbourhood {
  const { machine } = circuit;
  // From leg to leg: whatever else joins those legs may share the current.
  if (zones.length > 1 && joints.every((joint) => circuit.legJoint.includes(joint)))
    return { contacts: machine.contacts.map(({ id }) => id), loads: machine.loads.map(({ id }) => id) };
  return zone;
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
