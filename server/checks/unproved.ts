/** Extremes whose search was cut short: what is found may be told, what is not found must never read as an all-clear. */
import type { Engine, Extremes } from "../states/engine.ts";
import { coversAll } from "./ask.ts";
import type { Report } from "./check.ts";

/**
 * True when nothing over the limit was found and yet nothing proves that there is none. Where whole states are missing,
 * states-not-covered says so for everything at once.
 */
export function unproved(engine: Engine, found: Extremes, limit: number): boolean {
  return !(found.largest !== undefined && found.largest.value > limit) && couldExceed(engine, found, limit);
}

/** True when the search was cut short and something over the limit may have been left out, whatever was found. */
export function couldExceed(engine: Engine, { exact, bound }: Extremes, limit: number): boolean {
  return !exact && coversAll(engine) && (bound === undefined || bound > limit);
}

/** `what` and `why` of such a finding; `amount` writes a number with its unit, `verb` says what is done: `carries`. */
export function unprovedWords(
  subject: string,
  verb: string,
  { largest, bound }: Extremes,
  limit: string,
  amount: (value: number) => string,
): Pick<Report, "gravity" | "what" | "why" | "advice"> {
  const found = largest === undefined ? "" : ` at least ${amount(largest.value)}`;
  const most =
    bound === undefined || !Number.isFinite(bound) ? "an amount that is not known" : `at most ${amount(bound)}`;
  return {
    gravity: "information",
    what: `${subject} could not be judged to the end: it ${verb}${found}${found === "" ? " " : ", and "}${most}; the limit is ${limit}.`,
    why: "The search was cut short there, so that nothing more being said is no all-clear.",
    advice: "Look at this one by hand, or split the machine into circuits that do not share a control.",
  };
}
