/**
 * What a machine is but for what its loads draw and for where it stands in the text. Machines that share a structure have the same things with
 * the same ids, names, ends and rules; they may differ in watts, amps and ohms, and in places.
 */
import type { Load, Machine, Part } from "./machine.ts";

/** One object for all machines that are known to share it. */
export type Structure = object;

const structures = new WeakMap<Machine, Structure>();

export function structureOf(machine: Machine): Structure {
  let structure = structures.get(machine);
  if (structure === undefined) structures.set(machine, (structure = {}));
  return structure;
}

/** Says of a machine taken over from another that only amounts of loads, and places, differ. */
export function shareStructure(machine: Machine, before: Machine): void {
  structures.set(machine, structureOf(before));
}

/** Fields of loads that are amounts, or say where those come from. */
export const LOAD_AMOUNTS = [
  "ratedWatts",
  "ratedAmps",
  "impedance",
  "inrush",
  "inrushSource",
  "impedanceSource",
  "meterOhms",
  "capacitance",
] as const satisfies readonly (keyof Load)[];

/** The same of parts. */
export const PART_AMOUNTS = ["plate", "horsepower"] as const satisfies readonly (keyof Part)[];

const LEFT_OUT: ReadonlySet<string> = new Set(["place", "namePlace", ...LOAD_AMOUNTS, ...PART_AMOUNTS]);

/** True when a load or a part that was made anew differs from what it was in amounts and places only. */
export function alikeButAmounts(a: Load | Part, b: Load | Part): boolean {
  return sameFields(a, b) && !("impedance" in a && "impedance" in b && conducting(a) !== conducting(b));
}

/** Where a load conducts, and where it is a wire: that is how the machine is connected. */
function conducting({ impedance }: Load): string {
  return impedance
    .map((z) => (!z || !Number.isFinite(z.re) || !Number.isFinite(z.im) ? "-" : z.re === 0 && z.im === 0 ? "0" : "z"))
    .join("");
}

function sameFields(a: unknown, b: unknown): boolean {
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return Object.is(a, b);
  const [one, other] = [a as Record<string, unknown>, b as Record<string, unknown>];
  const names = new Set([...Object.keys(one), ...Object.keys(other)]);
  for (const name of names) if (!LEFT_OUT.has(name) && !sameFields(one[name], other[name])) return false;
  return true;
}
