/**
 * Symbols after IEC 60617, drawn level in a box of 40 x 28 around 0,0 with the wires meeting it at x = -20 and 20.
 * From memory of the standard: make and break contacts 07-02-01 and 07-02-03, coil 07-15-01, lamp 08-10-01,
 * resistor 04-01-01, heating element 04-01-12, capacitor 04-02-01, winding 04-03-01, diode 05-03-01, fuse 07-21-01.
 */

import { box, circleWith, contactEnds, leads, letter, line } from "./symbol-strokes.ts";
import { ieeeMarkup } from "./symbols-ieee.ts";

export const SYMBOL = { width: 40, height: 28 } as const;

export type SymbolKind =
  | "contact"
  | "fuse"
  | "heater"
  | "motor"
  | "winding"
  | "coil"
  | "valve"
  | "lamp"
  | "neon"
  | "buzzer"
  | "resistor"
  | "capacitor"
  | "ptc"
  | "sensor"
  | "diode"
  | "box";

export interface ContactLook {
  /** Drawn open or closed, and whether it is closed at rest (break form). */
  readonly closed: boolean;
  readonly breaks: boolean;
  readonly actuator?: "thermal" | "push" | "breaker" | "level";
}

/** Whose symbols are drawn. */
export type SymbolSet = "iec" | "ieee";

export function symbolMarkup(kind: SymbolKind, contact?: ContactLook, set: SymbolSet = "iec"): string {
  return (set === "ieee" ? ieeeMarkup(kind, contact) : undefined) ?? iecMarkup(kind, contact);
}

function iecMarkup(kind: SymbolKind, contact?: ContactLook): string {
  switch (kind) {
    case "contact":
      return contactMarkup(contact ?? { closed: false, breaks: false });
    case "fuse":
      return `<rect x="-14" y="-5" width="28" height="10"/>${line(-20, 0, 20, 0)}`;
    case "heater":
      return `${box(16, 6)}${[-8, 0, 8].map((x) => line(x, -6, x, 6)).join("")}`;
    case "motor":
      return circleWith(13, "M");
    case "winding":
      return `<path d="M-20 0H-16a4 4 0 0 1 8 0a4 4 0 0 1 8 0a4 4 0 0 1 8 0a4 4 0 0 1 8 0H20"/>`;
    case "coil":
      return box(8, 12);
    case "valve":
      return `${box(8, 12)}${line(-8, 12, 8, -12)}`;
    case "lamp":
      return `${leads(11)}<circle r="11"/>${line(-7.8, -7.8, 7.8, 7.8)}${line(-7.8, 7.8, 7.8, -7.8)}`;
    case "neon":
      return `${leads(11)}<circle r="11"/>${line(-11, 0, -3, 0)}${line(3, 0, 11, 0)}${line(-3, -6, -3, 6)}${line(3, -6, 3, 6)}<circle class="full" cx="0" cy="7" r="1.6"/>`;
    case "buzzer":
      return `${leads(11)}<path d="M-11 5H11A11 11 0 0 0 -11 5Z"/>`;
    case "resistor":
      return box(15, 5);
    case "capacitor":
      return `${leads(3)}${line(-3, -11, -3, 11)}${line(3, -11, 3, 11)}`;
    case "ptc":
      return `${box(15, 5)}<path d="M-17 11H-11L11 -11"/>${letter("+ϑ", 14, 14)}`;
    case "sensor":
      return `${box(15, 5)}<path d="M-17 11H-11L11 -11"/>${letter("ϑ", 14, 14)}`;
    case "diode":
      return `${leads(8)}<path d="M-8 -8L8 0L-8 8Z"/>${line(8, -8, 8, 8)}`;
    case "box":
      return box(16, 10);
  }
}

/** Hinge on the left. The break form has the short upright of a contact that rests closed. */
function contactMarkup({ closed, breaks, actuator }: ContactLook): string {
  const parts = [leads(11)];
  // Break form: the blade rests against the upright and leaves it downwards when it opens.
  const tip = breaks ? (closed ? [14, -8] : [11, 11]) : closed ? [11, 0] : [11, -11];
  parts.push(line(-11, 0, tip[0]!, tip[1]!, ' class="blade"'));
  if (breaks) parts.push(line(11, 0, 11, -9));
  // A closed make contact would look like a plain wire: its two ends are shown.
  else if (closed) parts.push(contactEnds);
  if (actuator === "thermal") parts.push(letter("ϑ", -7, -6));
  if (actuator === "breaker") parts.push(line(8, -3, 14, 3), line(8, 3, 14, -3));
  if (actuator === "push") {
    const middle = tip[1]! / 2;
    parts.push(line(0, middle, 0, -14, ' stroke-dasharray="3 2"'), `<path d="M-5 -11V-14H5V-11"/>`);
  }
  return parts.join("");
}
