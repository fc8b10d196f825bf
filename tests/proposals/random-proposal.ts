/** Random proposals for a written machine, as text: every kind of edit, drawn as plain numbers so that they shrink freely. */
import * as fc from "fast-check";
import type { Machine } from "../../server/machine/machine.ts";

const kinds = [
  "jumper",
  "wire",
  "remove-wire",
  "move-wire",
  "move-end",
  "remove",
  "rating",
  "value",
  "replace",
  "add",
  "rename",
  "supply",
] as const;
export type EditKind = (typeof kinds)[number];
export interface DrawnEdit {
  readonly kind: EditKind;
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

export function drawnProposals(
  wanted: readonly EditKind[] = kinds,
  { least = 1, most = 3 } = {},
): fc.Arbitrary<DrawnEdit[]> {
  const number = fc.nat(400);
  return fc.array(fc.record({ kind: fc.constantFrom(...wanted), x: number, y: number, z: number }), {
    minLength: least,
    maxLength: most,
  });
}

/** The block; edits that this machine has nothing for are left out, and each part and wire is changed once only. */
export function proposalText(machine: Machine, drawn: readonly DrawnEdit[], label = "random"): string {
  const { terminals, parts } = machine;
  const wires = machine.wires.filter(({ kind, place }) => kind !== "internal" && place.file === machine.file);
  const own = parts.filter(({ id, place }) => id !== machine.supply.part && place.file === machine.file);
  const touched = new Set<unknown>();
  const pick = <T>(all: readonly T[], at: number): T | undefined => {
    const one = all.length > 0 ? all[at % all.length] : undefined;
    if (one === undefined || touched.has(one)) return undefined;
    return one;
  };
  const name = (terminal: number) => terminals[terminal]!.fullName;
  const point = (at: number) => terminals[at % terminals.length]!.fullName;
  const lines = drawn.flatMap(({ kind, x, y, z }, index) => edit(kind, x, y, z, index));
  return `proposal "${label}" {\n${lines.map((line) => `  ${line}\n`).join("")}}\n`;

  function edit(kind: EditKind, x: number, y: number, z: number, index: number): string[] {
    switch (kind) {
      case "jumper":
      case "wire":
        return point(x) === point(y) ? [] : [`${kind} ${point(x)} to ${point(y)}`];
      case "remove-wire": {
        const wire = pick(wires, x);
        touched.add(wire);
        return wire ? [`remove wire ${name(wire.a)} to ${name(wire.b)}`] : [];
      }
      case "move-wire": {
        const wire = pick(wires, x);
        touched.add(wire);
        if (!wire) return [];
        const end = z % 2 === 0 ? wire.a : wire.b;
        return point(y) === name(end)
          ? []
          : [`move wire ${name(wire.a)} to ${name(wire.b)} end ${name(end)} to ${point(y)}`];
      }
      case "move-end": {
        const wire = pick(wires, x);
        if (!wire) return [];
        const end = [wire.a, wire.b].find((each) => wires.filter(({ a, b }) => a === each || b === each).length === 1);
        touched.add(wire);
        return end === undefined || name(end) === point(y) ? [] : [`move ${name(end)} to ${point(y)}`];
      }
      case "remove": {
        const part = pick(own, x);
        touched.add(part);
        return part ? [`remove ${part.name}`] : [];
      }
      case "rating": {
        const contact = pick(
          machine.contacts.filter(
            ({ ratings, part }) => ratings.length > 0 && machine.parts[part]!.place.file === machine.file,
          ),
          x,
        );
        const part = contact && machine.parts[contact.part]!;
        if (!contact || !part || touched.has(part)) return [];
        touched.add(part);
        const inner = contact.name.slice(part.name.length + 1);
        const target = part.contacts.length === 1 || /-/.test(inner) ? part.name : contact.name;
        return [`change ${target} rated ${1 + (y % 30)} A ${z % 2 === 0 ? 125 : 250} V`];
      }
      case "value": {
        const part = pick(
          own.filter(({ loads, kind }) => loads.length === 1 && kind !== "motor"),
          x,
        );
        const load = part && machine.loads[part.loads[0]!]!;
        if (!part || !load || load.ratedWatts === undefined) return [];
        touched.add(part);
        return [`change ${part.name} to ${10 + 10 * y} W`];
      }
      case "replace": {
        const part = pick(
          own.filter(({ kind }) => kind in others),
          x,
        );
        touched.add(part);
        return part ? [`replace ${part.name} by ${part.kind} ${others[part.kind]!(y, z)}`] : [];
      }
      case "add": {
        const load = z % 2 === 0 ? `lamp NEW-${index} ${5 + y} W 120 V` : `heater NEW-${index} ${100 + 10 * y} W 120 V`;
        return [`add ${load}`, `wire ${point(x)} to NEW-${index} to ${point(y)}`];
      }
      case "rename": {
        const part = pick(own, x);
        touched.add(part);
        return part ? [`rename ${part.name} to RN-${index}`] : [];
      }
      case "supply": {
        if (touched.has("supply")) return [];
        touched.add("supply");
        return machine.supply.form === "single"
          ? [
              `change supply single ${100 + (y % 40)} V 60 Hz legs ${machine.supply.legs.map(({ name: leg }) => leg).join(" ")}`,
            ]
          : [`change supply 120/208 V 60 Hz`];
      }
    }
  }
}

/** Other models of the kind, as their plates would have it. */
const others: Readonly<Record<string, (y: number, z: number) => string>> = {
  heater: (y) => `${200 + 20 * y} W 120 V`,
  lamp: (y) => `${5 + (y % 60)} W 120 V`,
  resistor: (y) => `${100 + 50 * y} ohm 10 W`,
  thermostat: (y, z) => `opens ${60 + (y % 20)} C closes ${40 + (y % 15)} C rated ${5 + (z % 20)} A 250 V`,
  limit: (y, z) => `opens ${110 + (y % 20)} C closes ${80 + (y % 15)} C rated ${5 + (z % 20)} A 250 V`,
  fan: (y) => `120 V ${10 + (y % 50)} W impedance-protected`,
};
