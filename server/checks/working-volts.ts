/** The voltage that a contact works at, which picks the point of its rating set. */
import { magnitude } from "../circuit/measure.ts";
import type { Contact, Machine } from "../machine/machine.ts";
import type { Engine, Extreme, Extremes } from "../states/engine.ts";
import { fedBy } from "./fed-by.ts";

export interface WorkingVolts {
  /** Sure to be reached, V. */
  readonly found: number;
  /** All that they may be, from `found` on: more than one only where the search for them was cut short. */
  readonly possible: readonly number[];
  /** What was found across the contact as it opens. */
  readonly across: Extremes;
}

/** The most that the volts may be: what a limit has to hold for. */
export function workingVoltsOf(engine: Engine, contact: Contact, flows: Extreme | undefined): number {
  return workingVolts(engine, contact, flows).possible.at(-1)!;
}

/**
 * The voltage of the circuit that the contact works in: the smallest voltage between two legs (or leg and neutral) that is
 * not below what stands across the contact when it opens. A motor's capacitor can push the volts across an open contact
 * above the supply; ratings are stated for the supply.
 *
 * @param flows a state in which current flows through the contact; undefined when none was found
 */
export function workingVolts(engine: Engine, contact: Contact, flows: Extreme | undefined): WorkingVolts {
  const { machine } = engine.circuit;
  const across = engine.extreme({ of: "breaks-volts", contact: contact.id }, engine.all());
  const levels = levelsOf(machine);
  let measured = across.largest?.value ?? 0;
  let most = across.exact ? measured : Math.max(measured, across.bound ?? Number.POSITIVE_INFINITY);
  if (!(measured > 1)) {
    // It never opens under volts, or not in any state found: the volts of what it feeds.
    if (flows) measured = Math.max(measured, loadVoltsIn(engine, contact, flows));
    most = flows ? Math.max(most, measured) : Number.POSITIVE_INFINITY;
  }
  const found = levelFor(machine, levels, measured);
  const top = most > measured ? levelFor(machine, levels, most) : found;
  return { found, possible: [found, ...levels.filter((level) => level > found && level <= top)], across };
}

function loadVoltsIn(engine: Engine, contact: Contact, { state }: Extreme): number {
  const { loadVolts } = engine.solve(state);
  let most = 0;
  for (const load of fedBy(engine, contact.id, state).loads)
    most = Math.max(most, Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!));
  return most;
}

/** Voltages between two legs, the smallest first. */
function levelsOf({ supply: { legs } }: Machine): number[] {
  const between = legs.flatMap((a, i) =>
    legs.slice(i + 1).map((b) => magnitude({ re: a.volts.re - b.volts.re, im: a.volts.im - b.volts.im })),
  );
  return [...new Set(between.filter((v) => v > 1))].sort((a, b) => a - b);
}

function levelFor({ transformers }: Machine, levels: readonly number[], measured: number): number {
  const [smallest] = levels;
  // Behind a transformer the volts are its own.
  if (smallest !== undefined && transformers.length > 0 && measured < smallest / 2) return measured;
  return levels.find((level) => level >= measured * 0.95) ?? levels.at(-1) ?? measured;
}
