/**
 * The same symbols in the style of IEEE 315 (ANSI Y32.2), in the same box. From memory of the standard: zigzag resistor 2.1, capacitor
 * with one curved plate 2.2, switch with blade and terminals 4.6, push button 4.7, fuse 9.1, breaker 9.4, lamp 11.1, machine 13.1; the circle
 * of a relay's coil and the actuators of temperature and level switches as NEMA ICS 19 draws them.
 */
import { circleWith, contactEnds, leads, letter, line } from "./symbol-strokes.ts";
import type { ContactLook, SymbolKind } from "./symbols.ts";

const zigzag = `<path d="M-20 0H-14L-11.7 -6L-7 6L-2.3 -6L2.3 6L7 -6L11.7 6L14 0H20"/>`;

/** Undefined where both standards draw the same. */
export function ieeeMarkup(kind: SymbolKind, contact?: ContactLook): string | undefined {
  switch (kind) {
    case "contact":
      return contactMarkup(contact ?? { closed: false, breaks: false });
    case "fuse":
      return `${leads(14)}<path d="M-14 0C-11 -9 -4 -9 0 0S11 9 14 0"/>`;
    case "heater":
    case "resistor":
      return zigzag;
    case "ptc":
    case "sensor":
      return `${zigzag}<path d="M-12 12L12 -12"/>${letter("t°", 15, 14)}`;
    case "motor":
      return circleWith(13, "MOT", 8);
    case "coil":
      return circleWith(11, "CR", 9);
    case "valve":
      return `<path d="M-20 0H-16a4 4 0 0 1 8 0a4 4 0 0 1 8 0a4 4 0 0 1 8 0a4 4 0 0 1 8 0H20"/>${letter("SOL", 0, 11, 8)}`;
    case "lamp":
      return `${leads(11)}<circle r="11"/><path d="M-11 0H-4a4 5 0 1 1 8 0H11"/>`;
    case "capacitor":
      return `${line(-20, 0, -3, 0)}${line(2.6, 0, 20, 0)}${line(-3, -11, -3, 11)}<path d="M6 -11Q-0.8 0 6 11"/>`;
    case "diode":
      return `${leads(8)}<path class="full" d="M-8 -8L8 0L-8 8Z"/>${line(8, -8, 8, 8)}`;
    default:
      return undefined;
  }
}

/** Drawn as it stands: a closed one lies across, an open one is lifted. */
function contactMarkup({ closed, breaks, actuator }: ContactLook): string {
  const parts = [line(-20, 0, -13.6, 0), line(13.6, 0, 20, 0)];
  if (actuator === "push") {
    // The bar of a button that breaks lies under the terminals, that of one that makes above them.
    const bar = (breaks ? 1 : -1) * (closed ? 2.6 : 7);
    parts.push(line(-13, bar, 13, bar), line(0, bar, 0, -13), contactEnds);
    return parts.join("");
  }
  if (actuator === "breaker") {
    const high = closed ? -2.6 : -7;
    parts.push(contactEnds, `<path class="blade" d="M-11 ${high}A15 15 0 0 1 11 ${high}"/>`);
    return parts.join("");
  }
  parts.push(
    closed ? line(-8.4, 0, 8.4, 0, ' class="blade"') : line(-8.8, -1.4, 10, -11, ' class="blade"'),
    contactEnds,
  );
  const middle = closed ? 0 : -6;
  if (actuator === "thermal") parts.push(`<path d="M0 ${middle}V5H4V9H-4V13"/>`);
  if (actuator === "level") parts.push(line(0, middle, 0, 6), `<circle cx="0" cy="10" r="4"/>`);
  return parts.join("");
}
