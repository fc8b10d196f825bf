/** Which loads can influence one another at all: supply legs keep their volts, so what meets only at legs does not. */
import type { LoadId } from "../machine/machine.ts";
import type { Circuit } from "./circuit.ts";
import { DisjointSets } from "./disjoint-sets.ts";

const kept = new WeakMap<Circuit, readonly (readonly LoadId[])[]>();

/** For each load the others whose opening could change its volts in some state, in order of their ids. */
export function influences(circuit: Circuit): readonly (readonly LoadId[])[] {
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
  const groupsOf = (load: LoadId): number[] =>
    [loadA[load]!, loadB[load]!].filter((joint) => !isLeg[joint]).map((joint) => sets.find(joint));
  const groups = machine.loads.map(({ id }) => groupsOf(id));
  const all = groups.map((own, id) =>
    machine.loads.flatMap(({ id: other }) =>
      other !== id && groups[other]!.some((g) => own.includes(g)) ? [other] : [],
    ),
  );
  kept.set(circuit, all);
  return all;
}
