/** What lives only while a motor gets up to speed: no state at rest shows it, since the machine never stays there. */
import type { LoadId, MachineState } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { anyOf, FULL, less } from "./ask.ts";
import { voltsOf } from "./weak-states.ts";

/** Different running states of one motor that are looked at, and times that relays may follow one another in each. */
const MOST_LOOKS = 8;
const MOST_STEPS = 4;

/**
 * States in the first moment of starting: a state in which a motor runs, with its shaft still standing and the relays as their
 * coils then pull them. Found ones are real; a load in none of them may still live for a moment elsewhere.
 */
export function* startingStates(engine: Engine): Generator<void, MachineState[]> {
  const { machine } = engine.circuit;
  const found: MachineState[] = [];
  for (const { id, rule } of machine.controls) {
    if (rule?.rule !== "motor") continue;
    let left = anyOf(
      engine,
      [...rule.mains, ...(rule.either ? rule.starts : [])].map((load) => engine.when(load, FULL)),
    );
    for (let look = 0; look < MOST_LOOKS; look++) {
      yield;
      const running = engine.witness(left);
      if (!running) break;
      const state = running.slice();
      state[id] = 0;
      for (let step = 0; step < MOST_STEPS && followRelays(engine, state); step++);
      found.push(state);
      left = less(engine, left, sameInputs(engine, running));
    }
  }
  return found;
}

/** Relays move as their coils say; true when one did. */
function followRelays(engine: Engine, state: MachineState): boolean {
  const { machine } = engine.circuit;
  const { loadAmps } = engine.solve(state);
  let moved = false;
  for (const { id, rule } of machine.controls) {
    let pulled: boolean | undefined;
    if (rule?.rule === "current") {
      const amps = Math.hypot(loadAmps.re[rule.load]!, loadAmps.im[rule.load]!);
      pulled = amps >= rule.pullsIn ? true : amps < rule.dropsOut ? false : undefined;
    } else if (rule?.rule === "coil") {
      const share = shareOf(engine, rule.load, state);
      const { scale } = machine.loads[rule.load]!;
      pulled = share >= scale.works ? true : share < scale.weak ? false : undefined;
    }
    if (pulled === undefined || state[id] === (pulled ? 1 : 0)) continue;
    state[id] = pulled ? 1 : 0;
    moved = true;
  }
  return moved;
}

/** Volts as a share of the rated ones; 0 where none are stated, and for a load that is open and takes no current. */
export function shareOf(engine: Engine, load: LoadId, state: MachineState): number {
  const { ratedVolts } = engine.circuit.machine.loads[load]!;
  const { loadAmps } = engine.solve(state);
  if (!(Math.hypot(loadAmps.re[load]!, loadAmps.im[load]!) > 1e-9)) return 0;
  return ratedVolts ? voltsOf(engine, load, state) / ratedVolts : 0;
}

function sameInputs(engine: Engine, state: MachineState) {
  return engine.where([
    engine.circuit.machine.controls
      .filter(({ settled }) => !settled)
      .map(({ id, positions }) => ({
        control: id,
        positions: Uint8Array.from(positions, (_, at) => (at === state[id] ? 1 : 0)),
      })),
  ]);
}
