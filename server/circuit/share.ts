/** How much of a contact's current flows for some loads only. */
import type { ContactId, LoadId } from "../machine/machine.ts";
import type { Solution } from "./circuit.ts";
import { conditionHolds } from "./condition.ts";
import { contactAmps } from "./measure.ts";
import { neighboursOf } from "./surroundings.ts";

/**
 * Magnitude of the share in A, by Kirchhoff's law on one side of the contact: that of its second terminal, or of its first when a leg is there. Where contacts share the current, or a transformer stands
 * on both sides, no sum tells it: the most that it can be, which is not above the contact's whole current.
 */
export function shareOf(solution: Solution, contact: ContactId, loads: readonly LoadId[]): number {
  const { circuit, loadAmps } = solution;
  const { contactA, contactB, loadA, loadB } = circuit;
  const side = freeSide(solution, contact, contactB[contact]!) ?? freeSide(solution, contact, contactA[contact]!);
  let re = 0;
  let im = 0;
  let most = 0;
  for (const load of loads) {
    const [ofRe, ofIm] = [loadAmps.re[load]!, loadAmps.im[load]!];
    most += Math.hypot(ofRe, ofIm);
    if (!side) continue;
    const sign = Number(side.has(loadA[load]!)) - Number(side.has(loadB[load]!));
    re += sign * ofRe;
    im += sign * ofIm;
  }
  return side ? Math.hypot(re, im) : Math.min(most, contactAmps(solution, contact));
}

/** Joints that other closed contacts join with this one; undefined when a leg, a winding or the contact's other end is among them. */
function freeSide({ circuit, state }: Solution, contact: ContactId, from: number): ReadonlySet<number> | undefined {
  const { machine, contactA, contactB } = circuit;
  const { isLeg, contacts, windings } = neighboursOf(circuit);
  const other = contactA[contact] === from ? contactB[contact]! : contactA[contact]!;
  const met = new Set<number>([from]);
  for (const joint of met) {
    if (isLeg[joint] || joint === other || windings[joint]!.length > 0) return undefined;
    for (const id of contacts[joint]!)
      if (id !== contact && (machine.contacts[id]!.leaks || conditionHolds(machine.contacts[id]!.closed, state)))
        met.add(contactA[id] === joint ? contactB[id]! : contactA[id]!);
  }
  return met;
}
