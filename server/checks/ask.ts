/** Questions that several checks put to the engine, in one place. */

import type { ShownState } from "../base/finding.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { describePosition, restState } from "../machine/describe.ts";
import type {
  Condition,
  Contact,
  ContactId,
  Control,
  Load,
  LoadId,
  Machine,
  MachineState,
  PartId,
} from "../machine/machine.ts";
import type { Engine, LoadClass, Region } from "../states/engine.ts";
import { onlyPossible } from "../states/only-possible.ts";
import { controlName } from "./words.ts";

export const ENERGISED: readonly LoadClass[] = ["weak", "works", "over"];
export const FULL: readonly LoadClass[] = ["works", "over"];

/** States in which the load gets a real share of its volts. */
export function energised(engine: Engine, load: LoadId): Region {
  return engine.when(load, ENERGISED);
}

export function anyOf(engine: Engine, regions: readonly Region[]): Region {
  return regions.reduce((a, b) => engine.or(a, b), engine.none());
}

/** `a` without the states of `b`. */
export function less(engine: Engine, a: Region, b: Region): Region {
  return engine.and(a, engine.not(b));
}

/** States with the supply on. */
export function supplyOn(engine: Engine): Region {
  const { supply, controls } = engine.circuit.machine;
  const control = controls[supply.control];
  if (!control) return engine.all();
  return engine.where([[{ control: supply.control, positions: position(engine.circuit.machine, supply.control, 0) }]]);
}

/** For each position of a control 1 when it stands there in some state of the region. */
export function positionsIn(engine: Engine, region: Region, control: Control): Uint8Array {
  const { machine } = engine.circuit;
  return (
    engine.positionsIn?.(region, control.id) ??
    Uint8Array.from(control.positions, (_, at) => {
      const there = engine.where([[{ control: control.id, positions: position(machine, control.id, at) }]]);
      return engine.isEmpty(engine.and(region, there)) ? 0 : 1;
    })
  );
}

/** True when the engine looked at every state, so that "never" and "always" may be said. */
export function coversAll(engine: Engine): boolean {
  return engine.covered().complete;
}

/**
 * A state as a person is told it: every control that does not stand at rest, and those named besides, with the single
 * changes that lead there.
 */
export function shown(engine: Engine, state: MachineState, besides: readonly number[] = []): ShownState {
  const positions = positionsOf(engine.circuit.machine, state, besides);
  const steps = stepsTo(engine, state);
  return steps === undefined ? { positions } : { positions, steps };
}

/** Some state of the region, as `shown`; undefined when there is none. */
export function shownIn(engine: Engine, region: Region): ShownState | undefined {
  const state = engine.witness(region);
  return state && shown(engine, state);
}

/**
 * The single changes from rest that lead to a state, in words. A dial that is turned on and on is one turn to a person; a button that is
 * pressed and let go stays two. Undefined when there is no way, or the budget ended before one was found.
 */
export function stepsTo(engine: Engine, state: MachineState): readonly string[] | undefined {
  const { controls } = engine.circuit.machine;
  const path = engine.pathTo(state);
  return path
    ?.filter(({ control }, index) => controls[control]!.positions.length <= 2 || path[index + 1]?.control !== control)
    .map(({ words }) => words);
}

/** The first moment after a change: the way to the state before it, and the change itself. */
export function shownAfter(engine: Engine, before: MachineState | undefined, state: MachineState): ShownState {
  const whole = shown(engine, state);
  if (whole.steps !== undefined || before === undefined) return whole;
  const { machine } = engine.circuit;
  const path = stepsTo(engine, before);
  const changed = machine.controls.filter(({ id, settled }) => !settled && before[id] !== state[id]);
  const last = changed.map(
    (control) => `then ${controlName(machine, control)} ${describePosition(control, state[control.id]!)}`,
  );
  return path === undefined ? whole : { positions: whole.positions, steps: path.concat(last) };
}

function positionsOf(machine: Machine, state: MachineState, besides: readonly number[]): ShownState["positions"] {
  const positions = machine.controls
    .filter(({ id, rest }) => state[id] !== rest || besides.includes(id))
    .map((control) => ({
      control: controlName(machine, control),
      position: describePosition(control, state[control.id]!),
    }));
  return positions.length > 0 ? positions : [{ control: "everything", position: "at rest" }];
}

const PROTECTING = new Set<Contact["role"]>(["limit", "link", "overload", "built-in-protector"]);

/** Devices that open by the heat of an abnormal condition; a thermostat, a fuse or a breaker is none. */
export function isThermalProtector(contact: Contact): boolean {
  return PROTECTING.has(contact.role);
}

/**
 * True when the device feels the heat of the load: it says so (`senses`), or nothing is said. A device that sits somewhere
 * (`at "blower housing"`) feels the air there: heaters warm that air, a motor's winding does not.
 */
export function senses(machine: Machine, contact: Contact, load: Load): boolean {
  if (contact.part === load.part) return true;
  if (contact.senses !== undefined)
    return contact.senses.includes(load.id) || sharesPart(machine, contact.senses, load.part);
  if (contact.role === "built-in-protector") return false;
  if (machine.parts[contact.part]!.at !== undefined) return load.kind === "heater" || load.kind === "igniter";
  return true;
}

function sharesPart(machine: Machine, loads: readonly LoadId[], part: PartId): boolean {
  return loads.some((id) => machine.loads[id]!.part === part);
}

/** Contacts in series with the load in this very state. */
export function seriesContacts(engine: Engine, load: LoadId, state: MachineState): ContactId[] {
  const { contacts } = engine.circuit.machine;
  return contacts
    .filter(({ id, closed }) => conditionHolds(closed, state) && engine.has(engine.inSeries(id, load), state))
    .map(({ id }) => id);
}

/** As `shown`, for states that the engine cannot reach by a path (chatter). */
export function shownPlain(machine: Machine, state: MachineState): ShownState {
  return { positions: positionsOf(machine, state, []) };
}

/** The state that `shown` told; undefined when a name in it is none of this machine, as of a state of another one. */
export function toldState(machine: Machine, { positions }: ShownState): MachineState | undefined {
  const state = restState(machine);
  for (const told of positions) {
    if (told.control === "everything") continue;
    const control = machine.controls.find((each) => controlName(machine, each) === told.control);
    const at = control?.positions.findIndex((_, index) => describePosition(control, index) === told.position) ?? -1;
    if (!control || at < 0) return undefined;
    state[control.id] = at;
  }
  return state;
}

/** The mask of one position of a control. */
export function position(machine: Machine, control: number, at: number): Uint8Array {
  const mask = new Uint8Array(machine.controls[control]!.positions.length);
  mask[at] = 1;
  return mask;
}

/** States in which a valve passes something: all of its seats, in a row, are open. */
export function wayOpen(engine: Engine, seats: readonly number[]): Region {
  return engine.where([seats.map((control) => ({ control, positions: position(engine.circuit.machine, control, 1) }))]);
}

/** A condition with more ways than this is not read by anybody. */
const MOST_WAYS = 40;

/** When a region is met, as `onlyPossible` tells it; undefined when it takes too many ways to be read. */
export function readableCondition(engine: Engine, region: Region): Condition | undefined {
  if (engine.statementWithin) return engine.statementWithin(region, MOST_WAYS);
  return onlyPossible(engine, engine.statement(region));
}
