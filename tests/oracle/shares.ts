/** What of a contact's current flows for some loads only, read off one solved state: the loads' currents into one side of the contact. */
import type { Solution } from "../../server/circuit/circuit.ts";
import type { LoadId } from "../../server/machine/machine.ts";

export interface SharedCurrent {
  readonly amps: number;
  /** False where both sides have a leg or meet, so that contacts share the current: `amps` is then the most that it can be. */
  readonly told: boolean;
}

/** @param closed 1 where closed, by contact id */
export function sharedCurrent(
  { circuit, ...solution }: Solution,
  closed: Uint8Array,
  contact: number,
  loads: readonly LoadId[],
): SharedCurrent {
  const { machine } = circuit;
  const legs = new Set(circuit.legJoint);
  const side = (from: number, other: number): Set<number> | undefined => {
    const joined = new Set([from]);
    for (let grown = true; grown; ) {
      grown = false;
      for (const { id, leaks } of machine.contacts) {
        if (id === contact || (closed[id] !== 1 && !leaks)) continue;
        const [a, b] = [circuit.contactA[id]!, circuit.contactB[id]!];
        if (joined.has(a) === joined.has(b)) continue;
        joined.add(a).add(b);
        grown = true;
      }
    }
    return joined.has(other) || [...joined].some((joint) => legs.has(joint)) ? undefined : joined;
  };
  const [a, b] = [circuit.contactA[contact]!, circuit.contactB[contact]!];
  const joined = side(b, a) ?? side(a, b);
  let [re, im, most] = [0, 0, 0];
  for (const load of loads) {
    const amps = { re: solution.loadAmps.re[load]!, im: solution.loadAmps.im[load]! };
    most += Math.hypot(amps.re, amps.im);
    if (joined?.has(circuit.loadA[load]!)) [re, im] = [re + amps.re, im + amps.im];
    if (joined?.has(circuit.loadB[load]!)) [re, im] = [re - amps.re, im - amps.im];
  }
  if (joined) return { amps: Math.hypot(re, im), told: true };
  return { amps: most, told: false };
}
