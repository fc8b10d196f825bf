/** How the machine stood when something was observed: the inputs as people left them, and the way there. */
import type { Circuit } from "../circuit/circuit.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { describeState, restState } from "../machine/describe.ts";
import type { Condition, ControlId, Literal, Machine, MachineState } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";
import { afterWaiting } from "./delays.ts";
import { type Settled, settle, type Trouble } from "./settle.ts";

export interface Situation {
  /** The healthy machine there. */
  readonly healthy: MachineState;
  /** Input settings in order, each left to settle: with the buttons pressed, then as they were let go. */
  readonly inputs: readonly MachineState[];
  /** Buttons that were pressed on the way and let go. */
  readonly pressed: readonly ControlId[];
  /** What was said of things that follow from the circuit (`DM running`): observations, not settings. */
  readonly claims: readonly Literal[];
  readonly words: string;
}

/** Undefined when no clause of the condition can hold at all. */
export function situationOf(engine: Engine, condition: Condition): Situation | undefined {
  const { machine } = engine.circuit;
  for (const clause of condition) {
    const inputs = clause.filter(({ control }) => !machine.controls[control]!.settled);
    const claims = clause.filter(({ control }) => machine.controls[control]!.settled);
    const on: Literal = { control: machine.supply.control, positions: Uint8Array.of(1, 0) };
    const supplied = inputs.some(({ control }) => control === machine.supply.control) ? inputs : [...inputs, on];
    const whole = engine.and(engine.all(), engine.where([[...supplied, ...claims]]));
    const asLeft = engine.and(engine.all(), engine.where([supplied]));
    const region = engine.isEmpty(whole) ? asLeft : whole;
    const healthy = engine.isEmpty(region)
      ? unreachable(engine.circuit, supplied)
      : waited(engine, region, new Set(clause.map(({ control }) => control)));
    if (!healthy) continue;
    const way = wayTo(engine, healthy);
    const buttons = machine.controls.filter(
      ({ id, role }) => role === "push" && way.length === 2 && way[0]![id] !== way[1]![id],
    );
    return {
      healthy,
      inputs: way,
      pressed: buttons.map(({ id }) => id),
      claims,
      words: describeState(machine, healthy),
    };
  }
  return undefined;
}

/** Of the states of a region, the one in which whatever was not spoken of rests, as far as that can be. */
function plainest(engine: Engine, region: Region, spoken: ReadonlySet<ControlId>): MachineState | undefined {
  let left = region;
  for (const { id, rest, positions, settled } of engine.circuit.machine.controls) {
    if (settled || spoken.has(id)) continue;
    const at = engine.and(
      left,
      engine.where([[{ control: id, positions: Uint8Array.from(positions, (_, i) => (i === rest ? 1 : 0)) }]]),
    );
    if (!engine.isEmpty(at)) left = at;
  }
  return engine.witness(left);
}

/** The same once delays that were not spoken of have run out, as a lock that closes some seconds after its feed: nobody measures sooner. */
function waited(engine: Engine, region: Region, spoken: ReadonlySet<ControlId>): MachineState | undefined {
  const known = new Set(spoken);
  let left = region;
  for (;;) {
    const state = plainest(engine, left, known);
    if (!state) return undefined;
    const next = [...afterWaiting(engine.circuit, state, engine.solve(state))].flatMap(([control, position]) => {
      if (known.has(control)) return [];
      const { positions } = engine.circuit.machine.controls[control]!;
      const there = Uint8Array.from(positions, (_, at) => (at === position ? 1 : 0));
      const narrowed = engine.and(left, engine.where([[{ control, positions: there }]]));
      return engine.isEmpty(narrowed) ? [] : [{ control, narrowed }];
    })[0];
    if (!next) return state;
    left = next.narrowed;
    known.add(next.control);
  }
}

/** Inputs that the healthy machine never has together: taken as said, the rest follows. */
function unreachable(circuit: Circuit, inputs: readonly Literal[]): MachineState | undefined {
  const state = restState(circuit.machine);
  for (const { control, positions } of inputs) {
    if (positions[state[control]!] === 1) continue;
    const at = positions.indexOf(1);
    if (at < 0) return undefined;
    state[control] = at;
  }
  return settle(circuit, state).state;
}

/** The shortest list of settings after which the healthy machine stands there, buttons and memories included. */
function wayTo(engine: Engine, healthy: MachineState): MachineState[] {
  const { circuit } = engine;
  const { machine } = circuit;
  const path = engine.pathTo(healthy) ?? [];
  const atRest = withInputs(machine, restState(machine), healthy);
  const pressed = Uint8Array.from(atRest);
  for (const { control, position } of path)
    if (machine.controls[control]!.role === "push") pressed[control] = Math.max(pressed[control]!, position);
  const ways: MachineState[][] = [[atRest], [pressed, atRest], everyStep(machine, path), [healthy]];
  return ways.find((way) => come(circuit, way).state.every((position, i) => position === healthy[i])) ?? [healthy];
}

function everyStep(machine: Machine, path: readonly { control: ControlId; position: number }[]): MachineState[] {
  const state = restState(machine);
  return path.map(({ control, position }) => {
    state[control] = position;
    return Uint8Array.from(state);
  });
}

/** Inputs of one state with everything that follows from the circuit as in another. */
function withInputs(machine: Machine, settled: MachineState, inputs: MachineState): MachineState {
  return Uint8Array.from(settled, (position, id) => (machine.controls[id]!.settled ? position : inputs[id]!));
}

/** The machine with its trouble, brought into a situation as a person brings it there. */
export function come(circuit: Circuit, inputs: readonly MachineState[], trouble: Trouble = {}): Settled {
  const { machine } = circuit;
  let now: Settled | undefined;
  for (const next of inputs) now = settle(circuit, now ? withInputs(machine, now.state, next) : next, trouble);
  return now ?? settle(circuit, restState(machine), trouble);
}

export function claimHolds(claim: Literal, state: MachineState): boolean {
  return conditionHolds([[claim]], state);
}
