/** Which joints closed contacts alone join with a leg. */
import type { Circuit } from "../../server/circuit/circuit.ts";

/** 1 for each joint that the joint `from` reaches through contacts with `closed` 1. */
export function tiedTo(circuit: Circuit, from: number, closed: Uint8Array): Uint8Array {
  const reached = new Uint8Array(circuit.jointCount);
  reached[from] = 1;
  for (let grew = true; grew; ) {
    grew = false;
    for (let contact = 0; contact < closed.length; contact++) {
      if (!closed[contact]) continue;
      const a = circuit.contactA[contact]!;
      const b = circuit.contactB[contact]!;
      if (reached[a] === reached[b]) continue;
      reached[a] = reached[b] = 1;
      grew = true;
    }
  }
  return reached;
}
