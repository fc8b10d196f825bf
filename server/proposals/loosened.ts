/** What protects, made weaker by other marks: a limit that is a thermostat now, opens hotter, or closes again by itself; a larger breaker. */
import { isThermalProtector } from "../checks/ask.ts";
import { amps, contactName, deviceWord } from "../checks/words.ts";
import type { Contact, Machine } from "../machine/machine.ts";

/** One thing that protects less than it did, as a sentence. */
export interface Loosened {
  /** The contact as sentences name it, or `the breaker`. */
  readonly about: string;
  readonly text: string;
}

/** Temperatures nearer than this are the same stamp: less than the tolerance of such parts. Common practice, no published source. */
const SAME_KELVIN = 3;
const SAME_AMPS = 1.001;

const RESET_WORDS = {
  self: "closes again by itself",
  hand: "has to be reset by hand",
  never: "opens for good",
} as const;
/** What happens when nobody looks, the safest first. */
const RESET_ORDER = ["never", "hand", "self"] as const;

export function loosenedContact(a: Contact, two: Machine, b: Contact): Loosened[] {
  const name = contactName(two, b.id);
  const found: Loosened[] = [];
  const tell = (text: string): void => void found.push({ about: name, text });
  if (isThermalProtector(a) && !isThermalProtector(b)) {
    tell(
      `Protection lost: ${name} was a ${deviceWord(a)} and is a ${deviceWord(b)} now${b.role === "thermostat" ? ", which works in normal use and protects nothing" : ""}.`,
    );
    return found;
  }
  if (!isThermalProtector(a)) return found;
  if (a.opensAt !== undefined && b.opensAt !== undefined && b.opensAt > a.opensAt + SAME_KELVIN)
    tell(
      `${name} opens at ${degrees(b.opensAt)} instead of ${degrees(a.opensAt)}: what it protects gets hotter before it opens.`,
    );
  if (a.tripsAt !== undefined && b.tripsAt !== undefined && b.tripsAt > a.tripsAt * SAME_AMPS)
    tell(
      `${name} opens at ${amps(b.tripsAt)} instead of ${amps(a.tripsAt)}: what it protects may draw more before it opens.`,
    );
  const [was, is] = [a.resets, b.resets];
  if (was !== undefined && is !== undefined && RESET_ORDER.indexOf(is) > RESET_ORDER.indexOf(was))
    tell(`${name} ${RESET_WORDS[is]}; the old one ${RESET_WORDS[was]}, so that somebody looks for the cause.`);
  return found;
}

/** A breaker or fuse of the house that is larger than the one before. One that is not written any more says nothing. */
export function loosenedBreaker({ supply: before }: Machine, { supply: after }: Machine): Loosened[] {
  const [was, is] = [before.breakerAmps, after.breakerAmps];
  if (was === undefined || is === undefined || is <= was * SAME_AMPS) return [];
  return [
    {
      about: "the breaker",
      text: `The breaker is ${amps(is)} instead of ${amps(was)}: the cord and the wiring of the house were chosen for the smaller one, and a fault that it opened on may burn on.`,
    },
  ];
}

function degrees(celsius: number): string {
  return `${Number(celsius.toFixed(0))} °C`;
}
