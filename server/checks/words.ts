/** How findings say amounts, lists and states: shared, so that every finding speaks alike. */
import type { RelatedPlace } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Contact, ContactId, Load, LoadId, Machine, Part, TerminalId } from "../machine/machine.ts";

/** Three significant digits, no trailing zeros: 22.5, 5.2, 0.033. */
function digits(value: number): string {
  if (value === 0) return "0";
  return String(Number(value.toPrecision(3)));
}

/** `22.5 A`, `33 mA`. */
export function amps(value: number): string {
  if (value !== 0 && Math.abs(value) < 0.1) return `${digits(value * 1000)} mA`;
  return `${digits(value)} A`;
}

/** `240 V`; whole volts from 10 V up, as a meter is read. */
export function volts(value: number): string {
  return Math.abs(value) >= 10 ? `${Math.round(value)} V` : `${digits(value)} V`;
}

/** `5.4 kW`, `950 W`. */
export function watts(value: number): string {
  if (Math.abs(value) >= 1000) return `${digits(value / 1000)} kW`;
  return Math.abs(value) >= 10 ? `${Math.round(value)} W` : `${digits(value)} W`;
}

/** `75 %`. */
export function percent(share: number): string {
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
  const seen = new Set<string>([key(own)]);
  const kept = places.filter(({ place }) => {
    if (seen.has(key(place))) return false;
    seen.add(key(place));
    return true;
  });
  return kept.slice(0, 8);
}

function key(place: Place): string {
  return `${place.file}:${place.from}:${place.to}`;
}
