import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine, MachineState } from "../../server/machine/machine.ts";
import type { Engine, EngineOptions, MakeEngine, Region } from "../../server/states/engine.ts";
import { makePlainEngine } from "../oracle/engine.ts";
import {
  checkStatement,
  compareExtremes,
  comparePaths,
  compareRegions,
  enginesOf,
  everyState,
} from "../states-exact/compare.ts";

/** Runs an engine to its end. */
export function engineOf(machine: Machine, options?: EngineOptions, make: MakeEngine = makePlainEngine): Engine {
  const run = make(buildCircuit(machine), options);
  for (;;) {
    const step = run.next();
    if (step.done) return step.value;
  }
}

/** The plain walk of a machine; the exact engine has answered every question the same. */
export function bothEnginesOf(machine: Machine): Engine {
  const { plain, exact } = enginesOf(machine);
  const states = everyState(machine);
  compareRegions(plain, exact, states);
  comparePaths(plain, exact, states);
  compareExtremes(plain, exact, [plain.all(), exact.all()]);
  for (const { id } of machine.loads)
    checkStatement(plain, exact, [plain.when(id, ["works", "over"]), exact.when(id, ["works", "over"])], states);
  return plain;
}

/** Every nominal state of a machine, settled or not. */
export function* nominalStates(machine: Machine): Generator<MachineState> {
  const state = new Uint8Array(machine.controls.length);
  for (;;) {
    yield state.slice();
    let control = 0;
    while (control < state.length && ++state[control]! === machine.controls[control]!.positions.length) {
      state[control++] = 0;
    }
    if (control === state.length) return;
  }
}

/** A state in the names of its positions, separated by spaces, in the order of the controls. */
export function named(machine: Machine, state: MachineState): string {
  return machine.controls.map((control) => control.positions[state[control.id]!]!.name).join(" ");
}

/** The states of a region, named and sorted. */
export function statesOf(engine: Engine, region: Region = engine.all()): string[] {
  const { machine } = engine.circuit;
  return [...nominalStates(machine)]
    .filter((state) => engine.has(region, state))
    .map((state) => named(machine, state))
    .sort();
}

/** Rows of a table written by hand: one state a line. */
export function table(text: string): string[] {
  return text
    .trim()
    .split("\n")
    .map((line) => line.trim().replace(/\s+/g, " "))
    .sort();
}

/** The state with these names, as `named` gives them. */
export function state(machine: Machine, names: string): MachineState {
  for (const one of nominalStates(machine)) if (named(machine, one) === names) return one;
  throw new Error(`no state ${names}`);
}
