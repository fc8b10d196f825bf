/** How findings say amounts, lists and states: shared, so that every finding speaks alike. */

import { formatQuantity } from "../../grammar/quantity.ts";
import type { RelatedPlace } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Contact, ContactId, Control, Load, LoadId, Machine, Part, TerminalId } from "../machine/machine.ts";

/** Below these an amount is rounding noise, less than any meter of the trade shows, and reads as zero. */
const NOTHING = { voltage: 1e-3, current: 1e-6, power: 1e-3 };

function amount(value: number, dimension: keyof typeof NOTHING): string {
  return formatQuantity(Math.abs(value) < NOTHING[dimension] ? 0 : value, dimension);
}

/** `22.5 A`, `33 mA`. */
export function amps(value: number): string {
  return amount(value, "current");
}

/** `240 V`; whole volts from 10 V up, as a meter is read. */
export function volts(value: number): string {
  return amount(Math.abs(value) >= 10 ? Math.round(value) : value, "voltage");
}

/** `5.4 kW`, `950 W`. */
export function watts(value: number): string {
  return amount(Math.abs(value) >= 10 ? Math.round(value) : value, "power");
}

/** The verb that fits so many subjects: `verb(2, "is", "are")` is `are`. */
export function verb(subjects: number, one: string, many: string): string {
  return subjects > 1 ? many : one;
}

/** `75 %`, `below 1 %`. */
export function percent(share: number): string {
  if (share > 0 && share < 0.005) return "below 1 %";
  return `${Math.round(share * 100)} %`;
}

/** `A`, `A and B`, `A, B and C`; past `most` names the rest is counted: `A, B and 4 more`. */
export function list(names: readonly string[], join: "and" | "or" = "and", most = 4): string {
  const shown = names.length > most ? [...names.slice(0, most - 1), `${names.length - most + 1} more`] : [...names];
  if (shown.length < 2) return shown[0] ?? "nothing";
  return `${shown.slice(0, -1).join(", ")} ${join} ${shown.at(-1)}`;
}

/** First letter large, for the start of a sentence that begins with a plain word. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** `HT (drying coil)`, or `DM.main (drive motor)`. */
export function loadName(machine: Machine, id: LoadId): string {
  const load = machine.loads[id]!;
  return withLabel(load.name, machine.parts[load.part]!);
}

/** `DOOR.1-2 (door switch)`. */
export function contactName(machine: Machine, id: ContactId): string {
  const contact = machine.contacts[id]!;
  return withLabel(contact.name, machine.parts[contact.part]!);
}

/**
 * What a control is called in sentences: its own name, or words for what sits inside a part (`GV's second seat` for `GV.second`,
 * `DM's protector`, `K1's supply`).
 */
export function controlName(machine: Machine, control: Control): string {
  const part = machine.parts[control.part]!;
  if (!control.name.startsWith(`${part.name}.`)) return control.name;
  const inner = control.name.slice(part.name.length + 1);
  switch (control.role) {
    case "valve":
      return `${part.name}'s ${inner} seat`;
    case "relay":
      return inner === "power" ? `${part.name}'s supply` : `${part.name}'s ${inner}`;
    case "level-setting":
      return `${part.name}'s knob`;
    case "cycle":
      return `${part.name}'s cycling`;
    case "delay":
      return `${part.name}'s delay`;
    default:
      return `${part.name}'s ${inner}`;
  }
}

export function partName(part: Part): string {
  return withLabel(part.name, part);
}

function withLabel(name: string, part: Part): string {
  return part.label === undefined ? name : `${name} (${part.label})`;
}

export function terminalName(machine: Machine, id: TerminalId): string {
  return machine.terminals[id]!.fullName;
}

/** What a load does when energised, for sentences: `heats`, `runs`, `lights`, `works`. */
export function doing(load: Load): string {
  switch (load.kind) {
    case "heater":
    case "bias-heater":
    case "igniter":
      return "heats";
    case "winding":
    case "start-winding":
    case "fan":
    case "pump":
    case "drive":
      return "runs";
    case "lamp":
    case "neon":
      return "lights";
    default:
      return "works";
  }
}

/** The kind of a protecting or switching device in plain words: `limit`, `thermal link`, `thermostat`. */
export function deviceWord(contact: Contact): string {
  switch (contact.role) {
    case "link":
      return "thermal link";
    case "built-in-protector":
      return "built-in protector";
    case "level":
      return "level switch";
    case "lock":
      return "door lock";
    case "switching":
      return "switch";
    default:
      return contact.role;
  }
}

export function related(place: Place, text: string): RelatedPlace {
  return { place, text };
}

/** Places said once each, in text order, the given one left out. */
export function relatedOnce(own: Place, places: readonly RelatedPlace[]): RelatedPlace[] {
  const kept: RelatedPlace[] = [];
  for (const one of places) {
    if (kept.length === MOST_RELATED) break;
    if (!isSame(one.place, own) && !kept.some(({ place }) => isSame(place, one.place))) kept.push(one);
  }
  return kept;
}

const MOST_RELATED = 8;

function isSame(a: Place, b: Place): boolean {
  return a.from === b.from && a.to === b.to && a.file === b.file;
}
