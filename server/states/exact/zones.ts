/**
 * Zones: parts of the machine that no state joins, because only supply legs are between them. Each is worked out by itself, over
 * the few columns of its own timer contacts.
 */

import type { Circuit } from "../../circuit/circuit.ts";
import { DisjointSets } from "../../circuit/disjoint-sets.ts";
import type { ContactId, LoadId } from "../../machine/machine.ts";

export interface Zone {
  readonly contacts: readonly ContactId[];
  readonly loads: readonly LoadId[];
  /** Indexes into `Machine.transformers`. */
  readonly transformers: readonly number[];
}

/** All zones of a circuit. Every contact, load and transformer is in exactly one. */
export function zonesOf(circuit: Circuit): Zone[] {
  const { machine } = circuit;
  const isLeg = new Uint8Array(circuit.jointCount);
  for (const joint of circuit.legJoint) isLeg[joint] = 1;
  const sets = new DisjointSets(circuit.jointCount);
  const join = (a: number, b: number): void => {
    if (isLeg[a] === 0 && isLeg[b] === 0) sets.join(a, b);
  };
  for (const { id } of machine.contacts) join(circuit.contactA[id]!, circuit.contactB[id]!);
  for (const { id } of machine.loads) join(circuit.loadA[id]!, circuit.loadB[id]!);
  const ends = machine.transformers.map(({ primary, secondary }) =>
    [...primary, ...secondary].map((terminal) => circuit.jointOf[terminal]!),
  );
  for (const joints of ends) {
    const inner = joints.filter((joint) => isLeg[joint] === 0);
    for (const joint of inner) join(inner[0]!, joint);
  }
  const found = new Map<number, { contacts: ContactId[]; loads: LoadId[]; transformers: number[] }>();
  const zones: { contacts: ContactId[]; loads: LoadId[]; transformers: number[] }[] = [];
  const zoneAt = (joints: readonly number[]): (typeof zones)[number] => {
    const inner = joints.find((joint) => isLeg[joint] === 0);
    const root = inner === undefined ? -1 : sets.find(inner);
    let zone = found.get(root);
    if (zone === undefined || root < 0) {
      zone = { contacts: [], loads: [], transformers: [] };
      zones.push(zone);
      if (root >= 0) found.set(root, zone);
    }
    return zone;
  };
  for (const { id } of machine.contacts) zoneAt([circuit.contactA[id]!, circuit.contactB[id]!]).contacts.push(id);
  for (const { id } of machine.loads) zoneAt([circuit.loadA[id]!, circuit.loadB[id]!]).loads.push(id);
  ends.forEach((joints, index) => {
    zoneAt(joints).transformers.push(index);
  });
  return zones;
}
