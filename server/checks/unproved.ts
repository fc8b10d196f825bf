/** Extremes whose search was cut short: what is found may be told, what is not found must never read as an all-clear. */
import type { Engine, Extremes } from "../states/engine.ts";
import { coversAll } from "./ask.ts";
import type { Report } from "./check.ts";

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

/** Of any question that a search cut short leaves open. */
export function cutShortWords(what: string): Words {
  return {
    gravity: "information",
    what,
    why: "The search was cut short there, so that nothing more being said is no all-clear.",
    advice: "Look at this one by hand, or split the machine into circuits that do not share a control.",
  };
}
