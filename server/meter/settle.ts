/** The machine with something wrong in it, come to rest: relays, motors and valves moved as its currents make them. */
import type { Circuit, Overrides, Solution } from "../circuit/circuit.ts";
import { solveState } from "../circuit/solve.ts";
import type { ControlId, LoadId, MachineState } from "../machine/machine.ts";
import { targetsOf, targetsUnplugged } from "../states/moments.ts";
import { afterWaiting } from "./delays.ts";

/** What is wrong, as changes of the one circuit; left out: nothing. */
export interface Trouble {
  readonly overrides?: Overrides;
  /** Controls that stand so whatever moves them (stuck). */
  readonly held?: ReadonlyMap<ControlId, number>;
  /** Motors whose shaft does not turn: they hum where they should run. */
  readonly seized?: readonly ControlId[];
}

export interface Settled {
  readonly state: MachineState;
  readonly solution: Solution;
  /** Breaker or fuse of the house has opened: everything in the machine is dead. */
  readonly tripped: boolean;
}

/** Moves looked at before a machine that never comes to rest is left as it stands. */
const mostMoves = 40;
/** Currents this many times the breaker's rating open it at once (common practice: magnetic release at 5 to 10 x). */
const atOnce = 5;

/** Whether the breaker opens in this solution. */
export function trips({ shorts, legAmps, circuit, notSolved }: Solution): boolean {
  if (shorts.length > 0 || notSolved.some(({ why }) => why === "unknown-short")) return true;
  const { breakerAmps } = circuit.machine.supply;
  if (breakerAmps === undefined) return false;
  return legAmps.re.some((re, leg) => Math.hypot(re, legAmps.im[leg]!) > atOnce * breakerAmps);
}

/** One order of settling: relays, valves and latches first, motors after them. Deterministic. */
export function settle(circuit: Circuit, start: MachineState, trouble: Trouble = {}): Settled {
  const { machine } = circuit;
  const state = Uint8Array.from(start);
  for (const [control, position] of trouble.held ?? []) state[control] = position;
  const options = { overrides: trouble.overrides };
  const held = heldDelays(circuit, state, trouble);
  for (let move = 0; ; move++) {
    const solution = solveState(circuit, Uint8Array.from(state), options);
    if (trips(solution)) {
      const off = Uint8Array.from(state);
      off[machine.supply.control] = 1;
      return { ...settleDead(circuit, off, trouble), tripped: true };
    }
    const broken = brokenLoads(trouble);
    const targets = targetsOf(circuit, solution, broken);
    if (held.length > 0)
      for (const [control, position] of afterWaiting(circuit, solution.state, solution, broken))
        if (held.includes(control)) targets.set(control, position);
    const next = nextMove(circuit, solution.state, targets, trouble);
    if (!next || move >= mostMoves) return { state: solution.state, solution, tripped: false };
    state[next.control] = next.position;
  }
}

/** Delays that have run out and stay so in a sound machine: what is wrong may let them go back. */
function heldDelays(circuit: Circuit, start: MachineState, { overrides, held }: Trouble): ControlId[] {
  if (!overrides && !held) return [];
  const delays = circuit.machine.controls.filter(({ id, role }) => role === "delay" && start[id] === 1);
  if (delays.length === 0) return [];
  const going = afterWaiting(circuit, start, solveState(circuit, Uint8Array.from(start)));
  return delays.flatMap(({ id }) => (going.has(id) ? [] : [id]));
}

function settleDead(circuit: Circuit, start: MachineState, trouble: Trouble): Settled {
  const state = Uint8Array.from(start);
  for (let move = 0; ; move++) {
    const solution = solveState(circuit, Uint8Array.from(state), { overrides: trouble.overrides });
    const targets = targetsOf(circuit, solution, brokenLoads(trouble));
    const next = nextMove(circuit, solution.state, targets, trouble);
    if (!next || move >= mostMoves) return { state: solution.state, solution, tripped: false };
    state[next.control] = next.position;
  }
}

/** The machine unplugged: relays let go, motors stand, locks have opened, latches by water stay. */
export function unplugged(circuit: Circuit, start: MachineState, trouble: Trouble = {}): MachineState {
  const state = Uint8Array.from(start);
  for (const [control, position] of trouble.held ?? []) state[control] = position;
  state[circuit.machine.supply.control] = 1;
  for (let move = 0; move < mostMoves; move++) {
    const targets = targetsUnplugged(circuit, state);
    // Whoever unplugs it and sets up a meter has waited for a lock to open.
    for (const [control, position] of afterWaiting(circuit, state, undefined)) targets.set(control, position);
    const next = nextMove(circuit, state, targets, { held: trouble.held });
    if (!next) break;
    state[next.control] = next.position;
  }
  return state;
}

function nextMove(
  circuit: Circuit,
  state: MachineState,
  targets: ReadonlyMap<ControlId, number>,
  trouble: Trouble,
): { control: ControlId; position: number } | undefined {
  let motor: { control: ControlId; position: number } | undefined;
  for (const [control, target] of targets) {
    const { rule } = circuit.machine.controls[control]!;
    let position = target;
    if (trouble.held?.has(control)) continue;
    if (rule?.rule === "motor" && position >= 2 && trouble.seized?.includes(control)) position = 1;
    if (position === state[control]) continue;
    if (rule?.rule !== "motor") return { control, position };
    motor ??= { control, position };
  }
  return motor;
}

/** Loads that do not do their work, whatever volts they get. */
export function brokenLoads({ overrides }: Trouble): ReadonlySet<LoadId> | undefined {
  if (!overrides?.loads) return undefined;
  return new Set([...overrides.loads].flatMap(([load, { as }]) => (as === "normal" || as === "to-case" ? [] : [load])));
}
