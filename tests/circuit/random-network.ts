/** Random circuits for properties of the solver: any mesh of contacts and loads on the legs of a supply. */
import fc from "fast-check";
import type { Machine } from "../../server/machine/machine.ts";
import { buildMachine, type ContactRow, type LoadRow, polar, type Value } from "../support/build-machine.ts";

export interface NetworkSketch {
  readonly supply: number;
  readonly points: number;
  readonly loads: readonly { readonly a: number; readonly b: number; readonly size: number; readonly angle: number }[];
  readonly contacts: readonly { readonly a: number; readonly b: number; readonly ohms: number }[];
}

/** Supplies by name of leg: single phase, split phase, two legs of a wye, each with a protective leg. */
const supplies: readonly Readonly<Record<string, Value>>[] = [
  { L1: 120, N: 0, PE: 0 },
  { L1: 120, L2: -120, N: 0, PE: 0 },
  { L1: 120, L2: polar(120, 120), N: 0, PE: 0 },
];

export function networkSketches(points: number, loads: number, contacts: number): fc.Arbitrary<NetworkSketch> {
  const end = fc.nat(points + 3);
  return fc.record(
    {
      supply: fc.nat(2),
      points: fc.integer({ min: 1, max: points }),
      loads: fc.array(
        fc.record({ a: end, b: end, size: fc.integer({ min: 0, max: 400 }), angle: fc.integer({ min: -60, max: 75 }) }),
        { minLength: 1, maxLength: loads },
      ),
      contacts: fc.array(fc.record({ a: end, b: end, ohms: fc.integer({ min: 0, max: 2 }) }), { maxLength: contacts }),
    },
    { noNullPrototype: true },
  );
}

/**
 * The machine of a sketch. Loads are 1 ohm to 10 kohm, lagging or leading. Contacts that would tie two legs together are
 * left out unless `shorts`; `ohms` tells what a closed contact has (by the sketch's 0, 1 or 2).
 */
export function drawNetwork(
  sketch: NetworkSketch,
  ohms: (kind: number) => number,
  options: { readonly shorts?: boolean } = {},
): Machine {
  const legs = supplies[sketch.supply]!;
  const names = [...Object.keys(legs), ...Array.from({ length: sketch.points }, (_, i) => `p${i}`)];
  const name = (end: number): string => names[end % names.length]!;
  const tied = new Map(names.map((one) => [one, one]));
  const rootOf = (one: string): string => (tied.get(one) === one ? one : rootOf(tied.get(one)!));
  const contacts: ContactRow[] = [];
  for (const { a, b, ohms: kind } of sketch.contacts) {
    const [from, to] = [rootOf(name(a)), rootOf(name(b))];
    const isLeg = (one: string): boolean => one in legs;
    if (!options.shorts && isLeg(from) && isLeg(to) && from !== to) continue;
    // The leg stays the root of what it is tied to.
    if (isLeg(from)) tied.set(to, from);
    else tied.set(from, to);
    contacts.push({ name: `C${contacts.length}`, a: name(a), b: name(b), closed: "always", ohms: ohms(kind) });
  }
  const loads = sketch.loads.map(
    ({ a, b, size, angle }, i): LoadRow => ({
      name: `R${i}`,
      a: name(a),
      b: name(b),
      z: polar(10 ** (size / 100), angle),
    }),
  );
  return buildMachine({ legs, contacts, loads });
}
