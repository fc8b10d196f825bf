/** Which loads and contacts can influence one another at all: supply legs keep their volts, so what meets only at legs does not. */
import type { ContactId, LoadId } from "../machine/machine.ts";
import type { Circuit } from "./circuit.ts";
import { DisjointSets } from "./disjoint-sets.ts";

/** What can change the volts of one load by opening or closing, in order of the ids. */
export interface Influence {
  readonly loads: readonly LoadId[];
  readonly contacts: readonly ContactId[];
}

const kept = new WeakMap<Circuit, readonly Influence[]>();

/** By load. */
export function influences(circuit: Circuit): readonly Influence[] {
  const known = kept.get(circuit);
  if (known) return known;
  const { machine, jointCount, jointOf, contactA, contactB, loadA, loadB, legJoint } = circuit;
  const isLeg = new Uint8Array(jointCount);
  for (const joint of legJoint) isLeg[joint] = 1;
  const sets = new DisjointSets(jointCount);
  const tie = (a: number, b: number): void => {
    if (!isLeg[a] && !isLeg[b]) sets.join(a, b);
  };
  for (let i = 0; i < contactA.length; i++) tie(contactA[i]!, contactB[i]!);
  for (let i = 0; i < loadA.length; i++) tie(loadA[i]!, loadB[i]!);
  for (const { primary, secondary } of machine.transformers) {
    const [first, ...others] = [...primary, ...secondary]
      .map((terminal) => jointOf[terminal]!)
      .filter((j) => !isLeg[j]);
    for (const other of others) tie(first!, other);
  }
  const groupsOf = (...joints: number[]): number[] =>
    joints.filter((joint) => !isLeg[joint]).map((joint) => sets.find(joint));
  const groups = machine.loads.map(({ id }) => groupsOf(loadA[id]!, loadB[id]!));
  const groupsOfContacts = machine.contacts.map(({ id }) => groupsOf(contactA[id]!, contactB[id]!));
  const all = groups.map((own, load): Influence => {
    const meets = (others: readonly number[]) => others.some((group) => own.includes(group));
    return {
      loads: machine.loads.map(({ id }) => id).filter((id) => id !== load && meets(groups[id]!)),
      contacts: machine.contacts.map(({ id }) => id).filter((id) => meets(groupsOfContacts[id]!)),
    };
  });
  kept.set(circuit, all);
  return all;
}
