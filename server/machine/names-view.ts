/** What resolving a condition needs to know of a machine: parts by name and their controls. Serves drafts and finished machines. */
import { Beside } from "../base/beside.ts";
import type { Control, ControlId, Machine } from "./machine.ts";

export interface NamesView {
  readonly controls: readonly Control[];
  /** Controls of the part of that name; undefined when no part is called so. */
  controlsOf(part: string): readonly ControlId[] | undefined;
  /** A control by its own full name, `DM.protector`. */
  controlNamed(name: string): ControlId | undefined;
}

const views = new Beside<Machine, NamesView>();

/** The view of a finished machine, kept with it. */
export function namesOf(machine: Machine): NamesView {
  const known = views.get(machine);
  if (known) return known;
  const parts = new Map(machine.parts.map((part) => [part.name, part]));
  const controls = new Map(machine.controls.map((control) => [control.name, control.id]));
  const view: NamesView = {
    controls: machine.controls,
    controlsOf: (name) => parts.get(name)?.controls,
    controlNamed: (name) => controls.get(name),
  };
  views.set(machine, view);
  return view;
}
