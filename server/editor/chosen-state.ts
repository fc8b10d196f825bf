/** Which state hints, hovers and views speak of: the first one shown, and what becomes of it when a person moves something. */
import type { StateWish } from "../base/chosen-state.ts";
import { readableCondition, stepsTo } from "../checks/ask.ts";
import type { Solution } from "../circuit/circuit.ts";
import { wattsTaken } from "../circuit/solve.ts";
import { describeCondition, literalCondition, restState } from "../machine/index.ts";
import type { Control, ControlId, Literal, Machine, MachineState, TimerProgram } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";

/** Positions of controls by their names, which outlive edits of the text. */
export type NamedState = Readonly<Record<string, string>>;

export interface Granted {
  readonly state: MachineState;
  readonly remark?: string;
}
export interface Refused {
  readonly refused: string;
}

export function namedState(machine: Machine, state: MachineState): NamedState {
  return Object.fromEntries(machine.controls.map(({ id, name, positions }) => [name, positions[state[id]!]!.name]));
}

/**
 * The reachable state that the names still mean: inputs as named, new ones at rest, settled controls as named where that is
 * possible. Undefined when a name is gone or the state cannot be reached any more.
 */
export function stateOfNames(engine: Engine, names: NamedState): MachineState | undefined {
  const state = positionsOfNames(engine.circuit.machine, names);
  if (!state || engine.has(engine.all(), state)) return state;
  return engine.witness(inputsAs(engine, state));
}

/** The positions as named, new controls at rest, whether the machine can stand so or not. Undefined when a name is gone. */
export function positionsOfNames(machine: Machine, names: NamedState): MachineState | undefined {
  if (Object.keys(names).some((name) => !machine.controls.some((control) => control.name === name))) return undefined;
  const state = restState(machine);
  for (const control of machine.controls) {
    const name = names[control.name];
    if (name === undefined) continue;
    const at = control.positions.findIndex((position) => position.name === name);
    if (at < 0) return undefined;
    state[control.id] = at;
  }
  return state;
}

/**
 * The state of a fresh view: of every step of the first program, entered from rest and with each button pressed once where that
 * starts more, the one that takes most watts. Where nothing works so (line switch off, lid up), the nearest state to rest in which
 * the greatest load works, and each smaller one that can with it; nothing hot, nothing held.
 */
export function defaultState(engine: Engine): MachineState {
  const rest = restSettled(engine);
  const { state, watts } = mostWatts(engine, rest);
  return watts > 0 ? state : (mostAtOnce(engine) ?? state);
}

function mostAtOnce(engine: Engine): MachineState | undefined {
  const { machine } = engine.circuit;
  const calm = machine.controls
    .filter(({ role }) => role === "supply" || role === "push" || role === "thermal")
    .map((control) => literalOf(control, control.rest));
  let region = engine.and(engine.all(), engine.and(engine.where([calm]), engine.not(engine.shorted())));
  const most = machine.loads.map(({ id }) => ({
    works: engine.when(id, ["works", "over"]),
    watts: engine.extreme({ of: "load-watts", load: id }, region).largest?.value ?? 0,
  }));
  for (const { works, watts } of most.sort((a, b) => b.watts - a.watts)) {
    const more = engine.and(region, works);
    if (watts > 0 && !engine.isEmpty(more)) region = more;
  }
  return engine.witness(region);
}

/** Of the state, every step of the program entered from it, and each button pressed there: the one that takes most. */
function mostWatts(engine: Engine, from: MachineState): { readonly state: MachineState; readonly watts: number } {
  const states = statesAround(engine, from);
  const told = engine.wattsIn?.(states);
  let best = { state: from, watts: Number.NEGATIVE_INFINITY };
  states.forEach((state, at) => {
    const known = told?.[at] ?? Number.NaN;
    const watts = Number.isNaN(known) ? wattsTaken(engine.circuit, state) : known;
    if (at === 0 || watts > best.watts * (1 + 1e-9)) best = { state, watts };
  });
  return best;
}

/**
 * Those states, the first one itself, each once. Moves decide what comes of a step or a button, so that as long as contacts and moves stay the
 * same they are not looked for again; what each of them takes is.
 */
function statesAround(engine: Engine, from: MachineState): readonly MachineState[] {
  const { machine } = engine.circuit;
  const pushes = machine.controls.filter(({ role }) => role === "push");
  const program = machine.programs[0];
  const steps = program ? differentSteps(machine, program) : [];
  const settled = machine.controls.flatMap(({ id, settled }) => (settled ? [id] : []));
  const what = [[from], [program?.control ?? "none"], steps, pushes.map(({ id }) => id), settled].join("; ");
  const note = engine.noteAbout?.("contacts", `states around ${what}`);
  const known = note?.read() as readonly MachineState[] | undefined;
  if (known) return known;
  const entered = program ? steps.map((step) => moved(engine, from, program.control, step)) : [];
  const found = new Map<string, MachineState>();
  const add = (state: MachineState | undefined) => state && found.set(state.join(), found.get(state.join()) ?? state);
  for (const state of [from, ...entered]) {
    add(state);
    for (const push of state ? pushes : []) add(pressed(engine, state!, push));
  }
  const states = [...found.values()];
  note?.write(states);
  return states;
}

/** Steps whose columns in the chart differ from all earlier ones. */
function differentSteps(machine: Machine, program: TimerProgram): number[] {
  const seen = new Set<string>();
  return machine.controls[program.control]!.positions.flatMap((_, step) => {
    const column = program.rows.map(({ cells }) => cells[step] ?? "-").join("");
    if (seen.has(column)) return [];
    seen.add(column);
    return [step];
  });
}

/** What becomes of the wish in this state: a reachable state, or why not, in words for a person. */
export function grant(engine: Engine, state: MachineState, wish: StateWish): Granted | Refused {
  const { machine } = engine.circuit;
  switch (wish.wish) {
    case "rest":
      return { state: restSettled(engine) };
    case "default":
      return { state: defaultState(engine) };
    case "names": {
      const found = stateOfNames(engine, wish.positions);
      return found
        ? { state: found }
        : { refused: "The state that was shown before is not one this machine can reach now." };
    }
    case "step":
      return stepped(engine, state, wish.by);
    case "press": {
      const control = machine.controls.find(({ name }) => name === wish.control);
      if (!control) return { refused: `There is no ${wish.control} in this machine.` };
      const after = pressed(engine, state, control);
      return after ? { state: after } : cannot(engine, control, pressedAt(control));
    }
    case "move": {
      const control = machine.controls.find(({ name }) => name === wish.control);
      if (!control) return { refused: `There is no ${wish.control} in this machine.` };
      const position = control.positions.findIndex(({ name }) => name === wish.position);
      if (position < 0) return { refused: `${control.name} has no position ${wish.position}.` };
      return movedInWords(engine, state, control, position);
    }
  }
}

function stepped(engine: Engine, state: MachineState, by: 1 | -1): Granted | Refused {
  const { machine } = engine.circuit;
  const program = machine.programs[0];
  if (!program) return { refused: "This machine has no timer program to step through." };
  const control = machine.controls[program.control]!;
  const steps = control.positions.length;
  const next = (state[control.id]! + by + steps) % steps;
  return movedInWords(engine, state, control, next);
}

function movedInWords(engine: Engine, state: MachineState, control: Control, position: number): Granted | Refused {
  const { machine } = engine.circuit;
  if (state[control.id] === position) return { state };
  if (control.settled) return { refused: `${control.name} follows from the circuit; move what feeds it instead.` };
  const after = engine.moved?.(single(engine, state), control.id, position);
  if (after && !engine.isEmpty(after)) {
    const found = engine.witness(after)!;
    const others = engine.count(after) > 1;
    return others
      ? {
          state: found,
          remark: "Two things move at the same moment here; which wins decides, and another outcome is possible.",
        }
      : { state: found };
  }
  // Not by one change from here, but with all else as it is the machine can stand so (a thermostat that opened earlier).
  const wished = Uint8Array.from(state);
  wished[control.id] = position;
  const same = inputsAs(engine, wished);
  if (!engine.isEmpty(same)) {
    const kept = nearest(engine, same, wished);
    const path = stepsTo(engine, kept) ?? [];
    return {
      state: kept,
      ...(path.length > 0
        ? { remark: `Not by one change from there; the machine comes to stand so by: ${path.join(", ")}.` }
        : {}),
    };
  }
  return cannot(engine, machine.controls[control.id]!, position);
}

/** Why the control cannot stand so now, and when it could. */
function cannot(engine: Engine, control: Control, position: number): Refused {
  const { machine } = engine.circuit;
  const literal = literalCondition(control.id, only(control, position));
  const region = engine.and(engine.all(), engine.where(literal));
  const there = `${control.name} ${control.positions[position]!.name}`;
  if (engine.isEmpty(region)) return { refused: `No state that the machine can reach has ${there}.` };
  const others = readableCondition(engine, region)?.map((clause) => clause.filter((one) => one.control !== control.id));
  // More ways than can be told: what stands in the way now is one thing of many.
  const words = others ? describeCondition(machine, others) : "always";
  return {
    refused:
      words === "always"
        ? `${there} is not possible with everything else as it stands now.`
        : `${there} is possible only when ${words}.`,
  };
}

/** Pressed, settled, and let go of. */
function pressed(engine: Engine, state: MachineState, push: Control): MachineState | undefined {
  const down = moved(engine, state, push.id, pressedAt(push));
  return down && moved(engine, down, push.id, push.rest);
}

function pressedAt(push: Control): number {
  return push.rest === 0 ? 1 : 0;
}

function moved(engine: Engine, state: MachineState, control: ControlId, position: number): MachineState | undefined {
  if (state[control] === position) return state;
  const region = engine.moved?.(single(engine, state), control, position);
  if (region) return engine.witness(region);
  const wished = Uint8Array.from(state);
  wished[control] = position;
  return engine.witness(inputsAs(engine, wished));
}

/** At rest as the machine settles there. */
function restSettled(engine: Engine): MachineState {
  const rest = restState(engine.circuit.machine);
  if (engine.has(engine.all(), rest)) return rest;
  return engine.witness(inputsAs(engine, rest)) ?? engine.witness(engine.all()) ?? rest;
}

function single(engine: Engine, state: MachineState): Region {
  const clause = engine.circuit.machine.controls.map((control) => literalOf(control, state[control.id]!));
  return engine.and(engine.all(), engine.where([clause]));
}

/** Reachable states whose inputs stand as in `state`; settled controls as they may. */
function inputsAs(engine: Engine, state: MachineState): Region {
  const inputs = engine.circuit.machine.controls.filter(({ settled }) => !settled);
  return engine.and(engine.all(), engine.where([inputs.map((control) => literalOf(control, state[control.id]!))]));
}

/** One settled control after another held as it stands where that leaves a state. */
function nearest(engine: Engine, region: Region, state: MachineState): MachineState {
  let left = region;
  for (const control of engine.circuit.machine.controls) {
    if (!control.settled) continue;
    const kept = engine.and(left, engine.where([[literalOf(control, state[control.id]!)]]));
    if (!engine.isEmpty(kept)) left = kept;
  }
  return engine.witness(left)!;
}

function literalOf(control: Control, position: number): Literal {
  return { control: control.id, positions: only(control, position) };
}

function only({ positions }: Control, position: number): Uint8Array {
  const mask = new Uint8Array(positions.length);
  mask[position] = 1;
  return mask;
}

/** Watts that all loads take, those not told as numbers left out. */
export function wattsOf({ loadWatts }: Solution): number {
  return loadWatts.reduce((sum, watts) => (Number.isNaN(watts) ? sum : sum + watts), 0);
}
