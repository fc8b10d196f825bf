/** What a contact makes and breaks for one kind of load at a time: a motor's current may be over its own limit though a heater's is larger. */
import { Beside } from "../base/beside.ts";
import type { Contact, LoadId, Machine, RatingPoint } from "../machine/machine.ts";
import type { Engine, Extremes } from "../states/engine.ts";
import { dutyOf, type FedLoads } from "./fed-by.ts";
import {
  type Act,
  isOver,
  judge,
  type Limit,
  LOAD_DUTIES,
  type LoadDuty,
  limitFor,
  lowestLimit,
  type Verdict,
} from "./rating.ts";
import { mostOf } from "./unproved.ts";

export interface Share {
  readonly duty: LoadDuty;
  readonly limit: Limit;
  /** Of the contact's current only what flows for loads of the duty. */
  readonly current: Extremes;
}

const known = new Beside<Machine, ReadonlyMap<LoadDuty, readonly LoadId[]>>();

/** Loads by what ratings call them. */
export function loadsByDuty(machine: Machine): ReadonlyMap<LoadDuty, readonly LoadId[]> {
  const found = known.get(machine);
  if (found) return found;
  const loads = new Map(
    LOAD_DUTIES.map((duty) => [duty, machine.loads.filter((load) => dutyOf(load) === duty).map(({ id }) => id)]),
  );
  known.set(machine, loads);
  return loads;
}

/**
 * Kinds of load whose limit at these volts lies below the contact's whole current, each with its own share of the current: the others
 * need no telling apart. Over every state.
 *
 * @param volts what the contact may work at
 * @param whole the whole current of the act
 */
export function sharesOf(
  engine: Engine,
  contact: Contact,
  ratings: readonly RatingPoint[],
  volts: readonly number[],
  act: "make" | "break",
  whole: Extremes,
): Share[] {
  const most = mostOf(whole);
  const of = act === "make" ? "makes" : "breaks";
  return [...loadsByDuty(engine.circuit.machine)].flatMap(([duty, loads]): Share[] => {
    if (loads.length === 0) return [];
    const limit = lowestLimit(ratings, volts, act, [duty]);
    if (!limit || !isOver(most, limit)) return [];
    return [{ duty, limit, current: engine.extreme({ of, contact: contact.id, loads }, engine.all()) }];
  });
}

/** The kind, of those that flow in a whole current, against whose limit it is judged: the largest, since the contact was tested with that much. */
export function kindOfWhole(
  ratings: readonly RatingPoint[],
  volts: number,
  act: Act,
  { byDuty, main }: Pick<FedLoads, "byDuty" | "main">,
): LoadDuty {
  const limitOf = (duty: LoadDuty): number => limitFor(ratings, volts, duty, act)?.amps ?? 0;
  return [...byDuty.keys()].reduce((best, duty) => (limitOf(duty) > limitOf(best) ? duty : best), main);
}

/** One kind of load, what flows for it at most, and how that stands against its limit. */
export interface Nearest {
  readonly duty: LoadDuty;
  readonly current: Extremes;
  readonly verdict: Verdict;
}

/**
 * The kind of load for which an act comes nearest to its limit or goes furthest past it: the whole current against the limit of the kind that
 * it is judged as, or the share of another kind against its own. Undefined when no current was found.
 *
 * @param main the kind that the whole current is judged as (`kindOfWhole`)
 */
export function nearestToLimit(
  engine: Engine,
  contact: Contact,
  volts: number,
  act: Act,
  whole: Extremes,
  main: LoadDuty,
): Nearest | undefined {
  if (!whole.largest) return undefined;
  const { ratings } = contact;
  let nearest: Nearest = {
    duty: main,
    current: whole,
    verdict: judge(ratings, volts, main, act, whole.largest.value),
  };
  if (act === "carry" || shareOfLimit(nearest) === undefined) return nearest;
  for (const { duty, current } of sharesOf(engine, contact, ratings, [volts], act, whole)) {
    if (duty === main || !current.largest) continue;
    const one: Nearest = { duty, current, verdict: judge(ratings, volts, duty, act, current.largest.value) };
    if ((shareOfLimit(one) ?? 0) > shareOfLimit(nearest)!) nearest = one;
  }
  return nearest;
}

function shareOfLimit({ verdict }: Nearest): number | undefined {
  return verdict.verdict === "within" || verdict.verdict === "over" ? verdict.share : undefined;
}
