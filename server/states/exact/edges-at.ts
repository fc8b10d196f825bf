/** Contacts and loads that end on each joint; one with both ends on a joint stands there twice. */
import type { Circuit } from "../../circuit/circuit.ts";

export interface EdgesAt {
  readonly contactsAt: readonly (readonly number[])[];
  readonly loadsAt: readonly (readonly number[])[];
}

export function edgesAt(circuit: Circuit): EdgesAt {
  const { machine } = circuit;
  const contactsAt: number[][] = Array.from({ length: circuit.jointCount }, () => []);
  const loadsAt: number[][] = Array.from({ length: circuit.jointCount }, () => []);
  for (const { id } of machine.contacts) {
    contactsAt[circuit.contactA[id]!]!.push(id);
    contactsAt[circuit.contactB[id]!]!.push(id);
  }
  for (const { id } of machine.loads) {
    loadsAt[circuit.loadA[id]!]!.push(id);
    loadsAt[circuit.loadB[id]!]!.push(id);
  }
  return { contactsAt, loadsAt };
}
