/**
 * The rule of rating sets: may this contact carry, make or break so many amps of this kind of load at these volts?
 *
 * A rating is a set of tested points. The working voltage picks the point with the lowest stated voltage that is not below
 * it; nothing is interpolated, and above the highest stated voltage the contact is not rated at all (common practice, no
 * published source; US Navy NEETS module 3, p. 3-33, supports the dependence on voltage). Pure: hover and inlay hints use it too.
 */
import type { RatingPoint } from "../machine/machine.ts";
import { amps as sayAmps, volts as sayVolts } from "./words.ts";

/** What the current is for, as ratings tell loads apart. */
export type LoadDuty = "resistive" | "motor" | "inductive" | "lamp";

export const LOAD_DUTIES: readonly LoadDuty[] = ["resistive", "motor", "inductive", "lamp"];

export type Act = "carry" | "make" | "break";

export interface Limit {
  /** The most amps that the chosen point states for this act and duty. */
  readonly amps: number;
  readonly point: RatingPoint;
  /** `7.5 A at 250 V`, `24 A, six times the 4 A in brackets (IEC 61058-1)`: where the limit comes from. */
  readonly words: string;
  /** False when the stamp speaks of another duty and its plain amps had to serve (no motor mark on a switched motor). */
  readonly stated: boolean;
}

export type Verdict =
  /** No rating was written. */
  | { readonly verdict: "not-stated" }
  /** The working voltage is above every stated one. */
  | { readonly verdict: "not-rated"; readonly highest: number; readonly words: string }
  | {
      readonly verdict: "within" | "over";
      readonly limit: Limit;
      /** Limit less amps, A; below zero when over. */
      readonly margin: number;
      /** Amps as a share of the limit. */
      readonly share: number;
      readonly words: string;
    };

type Duty = RatingPoint["duty"];

/** Points that speak of a kind of load, the best first; those after the stroke state nothing about this kind itself. */
const ORDER: Record<LoadDuty, { readonly stated: readonly Duty[]; readonly else: readonly Duty[] }> = {
  resistive: { stated: ["resistive", "general"], else: ["motor", "horsepower", "inductive", "pilot", "lamp"] },
  motor: { stated: ["horsepower", "motor"], else: ["inductive", "general", "pilot", "resistive"] },
  inductive: { stated: ["pilot", "inductive", "motor", "horsepower"], else: ["general", "resistive"] },
  lamp: { stated: ["lamp"], else: ["general", "resistive", "motor", "horsepower", "inductive", "pilot"] },
};

const KINDS: readonly Duty[] = ["general", "resistive", "inductive", "motor", "horsepower", "pilot", "lamp"];

/** IEC 60947-1 and trade alike: a reading at 120.0 V is 120 V. */
const SAME_VOLTS = 1 + 1e-6;
const SAME_AMPS = 1 + 1e-6;

/** The points of one duty that hold at these volts: the lowest stated voltage not below. */
function pointAt(points: readonly RatingPoint[], duty: Duty, volts: number): RatingPoint | undefined {
  let best: RatingPoint | undefined;
  for (const point of points) {
    if (point.duty !== duty || point.volts * SAME_VOLTS < volts) continue;
    if (best === undefined || point.volts < best.volts) best = point;
  }
  return best;
}

/** The limit for one act on one kind of load, undefined when no point of the set reaches these volts. */
export function limitFor(
  ratings: readonly RatingPoint[],
  workingVolts: number,
  duty: LoadDuty,
  act: Act,
): Limit | undefined {
  // What a closed contact carries heats it the same whatever the load: the largest amps stated at these volts.
  if (act === "carry") {
    let best: RatingPoint | undefined;
    for (const kind of KINDS) {
      const point = pointAt(ratings, kind, workingVolts);
      if (point?.amps !== undefined && (best === undefined || point.amps > best.amps!)) best = point;
    }
    return best && new PointLimit(best, best.amps!, true, pointWords);
  }
  const { stated, else: others } = ORDER[duty];
  let best: Limit | undefined;
  let first: Limit | undefined;
  for (const kind of stated) {
    const point = pointAt(ratings, kind, workingVolts);
    const limit = point && actLimit(point, duty, act, workingVolts, true);
    first ??= limit;
    // Of points that speak of this kind of load the largest holds: each was tested on its own.
    if (limit?.stated && (best === undefined || limit.amps > best.amps)) best = limit;
  }
  if (best !== undefined) return best;
  for (const kind of others) {
    if (first !== undefined) break;
    const point = pointAt(ratings, kind, workingVolts);
    first = point && actLimit(point, duty, act, workingVolts, false);
  }
  return first;
}

/** The lowest limit for an act at any of the volts; `duties`: for these kinds of load only. */
export function lowestLimit(
  ratings: readonly RatingPoint[],
  volts: readonly number[],
  act: Act,
  duties: readonly LoadDuty[] = LOAD_DUTIES,
): Limit | undefined {
  let lowest: Limit | undefined;
  for (const each of volts)
    for (const duty of duties) {
      const limit = limitFor(ratings, each, duty, act);
      if (limit !== undefined && (lowest === undefined || limit.amps < lowest.amps)) lowest = limit;
      if (act === "carry") break;
    }
  return lowest;
}

/** True when the set is rated at all volts from `least` to `most`, with the same limits. */
export function sameAtVolts(ratings: readonly RatingPoint[], least: number, most: number): boolean {
  let reaches = false;
  for (const { duty, volts } of ratings) {
    if (duty === "pilot") return false;
    if (volts * SAME_VOLTS >= most) reaches = true;
    else if (volts * SAME_VOLTS >= least) return false;
  }
  return reaches;
}

/** True when the amps are more than the limit, and not by rounding only. */
export function isOver(amps: number, limit: Limit | undefined): boolean {
  return limit !== undefined && amps > limit.amps * SAME_AMPS;
}

function actLimit(
  point: RatingPoint,
  duty: LoadDuty,
  act: "make" | "break",
  workingVolts: number,
  stated: boolean,
): Limit | undefined {
  const marked = act === "make" ? point.makes : point.breaks;
  if (marked !== undefined) {
    const amps = point.duty === "pilot" ? pilotAmps(marked, point, workingVolts) : marked;
    return new PointLimit(point, amps, stated, act === "make" ? makeWords : breakWords);
  }
  if (point.amps === undefined) return undefined;
  // Plain amps. For a motor they do not speak of starting; for a resistive load they are make, break and carry in one.
  return new PointLimit(point, point.amps, stated && duty !== "motor", pointWords);
}

/** Most limits are met and never told: words are made when somebody reads them. */
class PointLimit implements Limit {
  readonly amps: number;
  readonly point: RatingPoint;
  readonly stated: boolean;
  private readonly say: (point: RatingPoint, amps: number) => string;

  constructor(point: RatingPoint, amps: number, stated: boolean, say: (point: RatingPoint, amps: number) => string) {
    this.amps = amps;
    this.point = point;
    this.stated = stated;
    this.say = say;
  }

  get words(): string {
    return this.say(this.point, this.amps);
  }
}

/** Pilot duty is stated in volt-amperes: at lower volts more amps, as far down as 120 V (NEMA ICS 5, notes; from memory). */
function pilotAmps(atStated: number, point: RatingPoint, workingVolts: number): number {
  return (atStated * point.volts) / Math.max(120, Math.min(workingVolts, point.volts));
}

function pointWords(point: RatingPoint, amps: number): string {
  const duty =
    point.duty === "general"
      ? ""
      : point.duty === "pilot"
        ? ` (pilot duty ${point.pilotCode ?? ""})`
        : ` ${dutyWord(point.duty)}`;
  return `${sayAmps(amps)}${duty} at ${sayVolts(point.volts)}`;
}

function dutyWord(duty: Duty): string {
  return duty === "horsepower" ? "by its horsepower" : duty;
}

const makeWords = (point: RatingPoint, amps: number): string => markWords(point, amps, "make");
const breakWords = (point: RatingPoint, amps: number): string => markWords(point, amps, "break");

function markWords(point: RatingPoint, amps: number, act: "make" | "break"): string {
  switch (point.duty) {
    case "motor":
      return act === "make" && point.amps !== undefined
        ? `${sayAmps(amps)}, six times the ${sayAmps(point.amps)} motor mark (IEC 61058-1)`
        : `${sayAmps(amps)} motor load (the mark in brackets, IEC 61058-1)`;
    case "horsepower":
      return `${sayAmps(amps)}, the locked-rotor current of its horsepower mark (NEC 430.251(A))`;
    case "pilot":
      return `${sayAmps(amps)} by pilot duty ${point.pilotCode ?? ""} (NEMA ICS 5)`;
    default:
      return `${sayAmps(amps)} at ${sayVolts(point.volts)}`;
  }
}

/** `carries`, `makes`, `breaks`. */
export const ACT_WORDS: Record<Act, string> = { carry: "carries", make: "makes", break: "breaks" };

/** The whole question at once. `workingVolts` and `amps` rms. */
export function judge(
  ratings: readonly RatingPoint[],
  workingVolts: number,
  duty: LoadDuty,
  act: Act,
  amps: number,
): Verdict {
  if (ratings.length === 0) return { verdict: "not-stated" };
  const limit = limitFor(ratings, workingVolts, duty, act);
  if (limit === undefined) {
    const highest = Math.max(...ratings.map(({ volts }) => volts));
    if (highest * SAME_VOLTS >= workingVolts) return { verdict: "not-stated" };
    return {
      verdict: "not-rated",
      highest,
      words: `works at ${sayVolts(workingVolts)}, but is rated up to ${sayVolts(highest)} only`,
    };
  }
  return new LimitVerdict(limit, act, amps);
}

/** Most verdicts are weighed and never told, so words are made when somebody reads them. */
class LimitVerdict {
  readonly verdict: "within" | "over";
  readonly limit: Limit;
  readonly margin: number;
  readonly share: number;
  readonly #act: Act;
  readonly #amps: number;

  constructor(limit: Limit, act: Act, amps: number) {
    this.verdict = isOver(amps, limit) ? "over" : "within";
    this.limit = limit;
    this.margin = limit.amps - amps;
    this.share = amps / limit.amps;
    this.#act = act;
    this.#amps = amps;
  }

  get words(): string {
    return `${ACT_WORDS[this.#act]} ${sayAmps(this.#amps)}; rated ${this.limit.words}`;
  }
}
