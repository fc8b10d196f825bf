/** From a name to where it is given, and to everywhere it is used. */
import type { Place } from "../base/place.ts";
import type { Machine, Target } from "../machine/machine.ts";
import { thingAt } from "./same-thing.ts";
import type { FileView } from "./view.ts";

export interface Reference {
  readonly place: Place;
  readonly defines: boolean;
}

/** Where the thing under the caret is given; a terminal or position that is only understood leads to its part. */
export function definition(view: FileView, offset: number): readonly Place[] {
  const thing = thingAt(view, offset);
  if (!thing) return [];
  const { target } = thing.mention;
  if (target.type === "file") return [{ file: target.file, from: 0, to: 0 }];
  const given = thing.all.filter(({ defines }) => defines).map(({ place }) => place);
  if (given.length > 0) return given;
  const understood = thing.machine && understoodAt(thing.machine, target);
  return understood ? [understood] : [];
}

/** In this file and in the `others` that take part. */
export function references(view: FileView, offset: number, others: readonly FileView[] = []): readonly Reference[] {
  return (thingAt(view, offset, others)?.all ?? []).map(({ place, defines }) => ({ place, defines }));
}

/** The references in this file alone. */
export function highlights(view: FileView, offset: number): readonly Reference[] {
  return references(view, offset).filter(({ place }) => place.file === view.file);
}

function understoodAt(machine: Machine, target: Target): Place | undefined {
  switch (target.type) {
    case "part":
      return machine.parts[target.part]?.namePlace;
    case "leg":
      return machine.supply.stated ? machine.supply.place : undefined;
    case "terminal":
      return partName(machine, machine.terminals[target.terminal]?.part);
    case "contact":
      return machine.contacts[target.contact]?.namePlace;
    case "load":
      return machine.loads[target.load]?.namePlace;
    case "position":
    case "group":
      return partName(machine, machine.controls[target.control]?.part);
    default:
      return undefined;
  }
}

function partName(machine: Machine, part: number | undefined): Place | undefined {
  if (part === undefined) return undefined;
  if (part === machine.supply.part) return machine.supply.stated ? machine.supply.place : undefined;
  return machine.parts[part]?.namePlace;
}
