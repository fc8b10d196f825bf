/** The voltage that a contact works at, which picks the point of its rating set. */
import { Beside } from "../base/beside.ts";
import { magnitude } from "../circuit/measure.ts";
import type { Contact, Load, Machine, RatingPoint } from "../machine/machine.ts";
import type { Engine, Extreme, Extremes } from "../states/engine.ts";
import { fedBy } from "./fed-by.ts";
import { sameAtVolts } from "./rating.ts";
import { isProved, mostOf } from "./unproved.ts";
import { twinsOf } from "./weak-states.ts";

/** Below this nothing stands across a contact when it opens, V. */
const NO_VOLTS = 1;

export interface WorkingVolts {
  /** Sure to be reached, V. */
  readonly found: number;
  /** What the ratings tell apart of all that they may be, from `found` on: more than one only where a search was cut short. */
  readonly possible: readonly number[];
}

/** The most that the volts may be: what a limit has to hold for. */
export function workingVoltsOf(engine: Engine, contact: Contact, flows: Extreme | undefined, made?: Extreme): number {
  return workingVolts(engine, contact, flows, flows !== undefined, made).possible.at(-1)!;
}

/**
 * A state in which current flows through a contact: the most that it carries, where it carries nothing at rest what it makes, and where it
 * never does that either (a start winding's own contact closes with everything off) what it breaks. Undefined below `least`, A.
 */
export function flowThrough(
  carried: Extremes,
  made: Extremes,
  broken: Extremes | undefined,
  least = 0,
): Extreme | undefined {
  const flowing = (found: Extreme | undefined) => (found !== undefined && found.value > least ? found : undefined);
  const opens = flowing(broken?.largest);
  return (
    flowing(carried.largest) ??
    flowing(made.largest) ??
    (opens && { value: opens.value, state: opens.before ?? opens.state })
  );
}

/**
 * The voltage of the circuit that the contact works in: the smallest voltage between two legs (or leg and neutral) that is
 * not below what stands across the contact when it opens. A motor's capacitor can push the volts across an open contact
 * above the supply; ratings are stated for the supply. A contact that never opens under volts works at those of what it feeds.
 *
 * What it puts under volts counts as well: a start button past which the motor then holds itself in opens under none of its motor's.
 *
 * @param flows the largest current through it that was found; `sure` when none is larger
 * @param made the largest current that it makes, as far as found
 */
export function workingVolts(
  engine: Engine,
  contact: Contact,
  flows: Extreme | undefined,
  sure = flows !== undefined,
  made?: Extreme,
): WorkingVolts {
  const { machine } = engine.circuit;
  const possible = voltsBetweenLegs(machine);
  const across = engine.extreme({ of: "breaks-volts", contact: contact.id }, engine.all());
  const found = across.largest?.value ?? 0;
  if (found > NO_VOLTS) {
    const least = workingAt(machine, possible, Math.max(found, made ? madeVolts(engine, contact, made, found) : 0));
    return between(
      contact,
      least,
      isProved(across) ? least : Math.max(least, workingAt(machine, possible, mostOf(across))),
    );
  }
  if (flows !== undefined && sure && mostOf(across) <= NO_VOLTS) {
    let measured = found;
    const solution = engine.solve(flows.state);
    for (const load of fedBy(engine, contact.id, flows.state).loads)
      measured = Math.max(measured, Math.hypot(solution.loadVolts.re[load]!, solution.loadVolts.im[load]!));
    const volts = workingAt(machine, possible, measured);
    return between(contact, volts, volts);
  }
  return between(contact, workingAt(machine, possible, 0), workingAt(machine, possible, Number.POSITIVE_INFINITY));
}

/** True for what a capacitor puts under more volts than the line. */
function rings(machine: Machine, load: Load): boolean {
  return load.kind === "start-winding" || load.kind === "capacitor" || twinsOf(machine, load).length > 0;
}

/** Most volts on what the contact feeds where it makes most; 0 where they are no more than those found already. */
function madeVolts(engine: Engine, contact: Contact, { state }: Extreme, found: number): number {
  const { machine } = engine.circuit;
  const { loadVolts } = engine.solve(state);
  const volts = (id: number): number => Math.hypot(loadVolts.re[id]!, loadVolts.im[id]!);
  const higher = machine.loads.filter((load) => volts(load.id) > found * MORE && !rings(machine, load));
  if (higher.length === 0) return 0;
  const fed = fedBy(engine, contact.id, state).loads;
  return Math.max(0, ...higher.filter(({ id }) => fed.includes(id)).map(({ id }) => volts(id)));
}

/** Volts of two kinds of circuit are further apart than this. Trade judgement, no published source. */
const MORE = 1.2;

/** Between two stated volts the limits are lowest at the upper end. */
function between({ ratings }: Contact, least: number, most: number): WorkingVolts {
  if (least === most) return { found: least, possible: [most] };
  const stated = ratings.map(({ volts }) => volts).filter((volts) => volts > least && volts < most);
  return { found: least, possible: [...new Set([least, ...stated.sort((a, b) => a - b), most])] };
}

/** Volts at which the ratings are what they are at all others that the contact can work at; undefined when it matters which. */
export function anyWorkingVolts(machine: Machine, ratings: readonly RatingPoint[]): WorkingVolts | undefined {
  const possible = voltsBetweenLegs(machine);
  const most = possible.at(-1);
  if (most === undefined || !sameAtVolts(ratings, workingAt(machine, possible, 0), most)) return undefined;
  return { found: most, possible: [most] };
}

function workingAt({ transformers }: Machine, possible: readonly number[], measured: number): number {
  const smallest = possible[0] ?? measured;
  // Behind a transformer the volts are its own.
  if (transformers.length > 0 && measured < smallest / 2) return measured;
  return possible.find((v) => v >= measured * 0.95) ?? possible.at(-1) ?? measured;
}

const levels = new Beside<Machine["supply"], readonly number[]>();

/** Smallest first. */
function voltsBetweenLegs({ supply }: Machine): readonly number[] {
  let known = levels.get(supply);
  if (!known) {
    const { legs } = supply;
    const all = legs.flatMap((a, i) =>
      legs.slice(i + 1).map((b) => magnitude({ re: a.volts.re - b.volts.re, im: a.volts.im - b.volts.im })),
    );
    levels.set(supply, (known = [...new Set(all.filter((v) => v > NO_VOLTS))].sort((a, b) => a - b)));
  }
  return known;
}
