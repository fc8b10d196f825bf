/** What a contact makes and breaks for one kind of load at a time: a motor's current may be over its own limit though a heater's is larger. */
import type { Contact, LoadId, Machine, RatingPoint } from "../machine/machine.ts";
import type { Engine, Extremes } from "../states/engine.ts";
import { dutyOf } from "./fed-by.ts";
import { isOver, type Limit, LOAD_DUTIES, type LoadDuty, lowestLimit } from "./rating.ts";
import { mostOf } from "./unproved.ts";

export interface Share {
  readonly duty: LoadDuty;
  readonly limit: Limit;
  /** Of the contact's current only what flows for loads of the duty. */
  readonly current: Extremes;
}

const known = new WeakMap<Machine, ReadonlyMap<LoadDuty, readonly LoadId[]>>();

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
