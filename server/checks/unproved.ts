/** Extremes whose search was cut short: what is found may be told, what is not found must never read as an all-clear. */
import type { Engine, Extremes, Quantity } from "../states/engine.ts";
import { coversAll } from "./ask.ts";
import type { Report } from "./check.ts";
import { contactName, list, loadName, terminalName } from "./words.ts";

/** As a share, and by itself: a bound so near to what was found is the same number. */
const ROUNDING = 1e-9;

/** An extreme as far as it is known; of the state that shows it nothing is asked here. */
export interface Found extends Pick<Extremes, "exact" | "bound"> {
  readonly largest?: { readonly value: number };
}

/** What no state exceeds; infinite when nothing is known. */
export function mostOf({ largest, exact, bound }: Found): number {
  return exact ? (largest?.value ?? 0) : (bound ?? Number.POSITIVE_INFINITY);
}

/** True when no state has more than the largest that was found. */
export function isProved(found: Found): boolean {
  return found.exact || mostOf(found) <= (found.largest?.value ?? 0) * (1 + ROUNDING) + ROUNDING;
}

/** True where more may be than was found, up to a bound; false too where nothing at all is told. */
export function isCutShort(found: Found): boolean {
  return found.bound !== undefined && !isProved(found);
}

/** `22.5 A`, or `at least 22.5 A` where the search for more was cut short. */
export function largestInWords(found: Found, amount: (value: number) => string): string {
  return `${isProved(found) ? "" : "at least "}${amount(found.largest?.value ?? 0)}`;
}

/**
 * True when nothing over the limit was found and yet nothing proves that there is none. Where nothing at all is known because whole states
 * are missing, states-not-covered says so for everything at once.
 */
export function unproved(engine: Engine, found: Found, limit: number): boolean {
  return !(found.largest !== undefined && found.largest.value > limit) && couldExceed(engine, found, limit);
}

/** True when the search was cut short and something over the limit may have been left out, whatever was found. */
export function couldExceed(engine: Engine, { exact, bound }: Found, limit: number): boolean {
  if (exact) return false;
  return bound === undefined ? coversAll(engine) : bound > limit * (1 + ROUNDING);
}

/** `up to 22.5 A`, or `at least 22.5 A` where the search for more was cut short. */
export function upToInWords(found: Found, amount: (value: number) => string): string {
  return `${isProved(found) ? "up to" : "at least"} ${amount(found.largest?.value ?? 0)}`;
}

/** `3 A`, `at least 3 A, and at most 40 A`, `an amount that is not known`: all that is known of it. */
export function rangeInWords(found: Found, amount: (value: number) => string): string {
  if (found.largest && isProved(found)) return amount(found.largest.value);
  const bound = mostOf(found);
  const most = Number.isFinite(bound) ? `at most ${amount(bound)}` : "an amount that is not known";
  return found.largest === undefined ? most : `at least ${amount(found.largest.value)}, and ${most}`;
}

type Words = Pick<Report, "gravity" | "what" | "why" | "advice">;

/** `what` and `why` of such a finding; `amount` writes a number with its unit, `verb` says what is done: `carries`. */
export function unprovedWords(
  subject: string,
  verb: string,
  found: Found,
  limit: string,
  amount: (value: number) => string,
): Words {
  return cutShortWords(
    `${subject} could not be judged to the end: it ${verb} ${rangeInWords(found, amount)}; the limit is ${limit}.`,
  );
}

const CUT_SHORT = "The search was cut short there, so that nothing more being said is no all-clear.";

/** True for findings of `cutShortWords`. */
export function saysCutShort({ why }: Pick<Report, "why">): boolean {
  return why === CUT_SHORT;
}

/** Of any question that a search cut short leaves open. */
export function cutShortWords(what: string): Words {
  return {
    gravity: "information",
    what,
    why: CUT_SHORT,
    advice: "Look at this one by hand, or split the machine into circuits that do not share a control.",
  };
}

/** A sentence about the questions whose answer is a bound only; undefined when there is none. See `Coverage.bounds`. */
export function boundsInWords(engine: Engine): string | undefined {
  const { bounds = [] } = engine.covered();
  if (bounds.length === 0) return undefined;
  const subjects = [...new Set(bounds.map((quantity) => subjectOf(engine, quantity)))];
  return `the search for the worst was cut short, so that amounts are bounds and checks judge by what may be at most: ${list(subjects, "and", 12)}`;
}

function subjectOf({ circuit: { machine } }: Engine, quantity: Quantity): string {
  if ("contact" in quantity) return contactName(machine, quantity.contact);
  if ("load" in quantity) return loadName(machine, quantity.load);
  if ("leg" in quantity) return `the leg ${machine.supply.legs[quantity.leg]!.name}`;
  const { a, b } = machine.wires[quantity.wire]!;
  return `the wire from ${terminalName(machine, a)} to ${terminalName(machine, b)}`;
}
