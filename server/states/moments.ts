/** States on the way from one rest to the next: relays and motors moving one after the other (MEANING.md 8 to 10), solved one at a time. */
import type { Circuit, Solution } from "../circuit/circuit.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { solveState } from "../circuit/solve.ts";
import type { Complex, Load, LoadId, MachineState, MotorRule, SettledRule } from "../machine/machine.ts";

const OFF = 0;
const WEAK = 1;
const WORKS = 2;
const OVER = 3;
/** A bound counts as reached from this much below it (MEANING.md 6). */
const SLACK = 1e-9;
/** Share of the largest leg's volts from which a load without rated volts counts as working (MEANING.md 5). */
const FED_SHARE = 0.01;

/** States looked at on the way from one change to rest; more than a handful of relays never need as many. */
export const MOST_MOMENTS = 64;

export interface Moments {
  /** States that are not at rest, in the order in which they are met; the first is the one right after the change. */
  readonly moving: readonly MachineState[];
  readonly rests: readonly MachineState[];
  /** False when there were more than `MOST_MOMENTS`. */
  readonly complete: boolean;
}

/** Everything that can be passed through from a state on, every order of relays followed. */
export function momentsFrom(circuit: Circuit, start: MachineState): Moments {
  const moving: MachineState[] = [];
  const rests: MachineState[] = [];
  const seen = new Set<string>([start.join()]);
  const queue: MachineState[] = [start];
  for (let at = queue.shift(); at !== undefined; at = queue.shift()) {
    if (moving.length + rests.length >= MOST_MOMENTS) return { moving, rests, complete: false };
    const targets = settledTargets(circuit, at);
    if (targets.size === 0) rests.push(at);
    else moving.push(at);
    for (const [control, position] of targets) {
      const next = at.slice();
      next[control] = position;
      const key = next.join();
      if (seen.has(key)) continue;
      seen.add(key);
      queue.push(next);
    }
  }
  return { moving, rests, complete: true };
}

/** Settled controls that do not stand on their target in this state, with the target. Empty: the state is at rest. */
export function settledTargets(circuit: Circuit, state: MachineState): Map<number, number> {
  return targetsOf(circuit, solveState(circuit, state));
}

/** The same from a state already solved, with whatever overrides. Loads in `dead` have volts but do nothing (broken). */
export function targetsOf(circuit: Circuit, solution: Solution, dead?: ReadonlySet<LoadId>): Map<number, number> {
  const classes = classesOf(circuit, solution);
  for (const load of dead ?? []) classes[load] = OFF;
  return targets(circuit, solution.state, classes, solution);
}

/** The same with the supply off: nothing gets volts, and nothing need be solved. */
export function targetsUnplugged(circuit: Circuit, state: MachineState): Map<number, number> {
  return targets(circuit, state, new Uint8Array(circuit.machine.loads.length), undefined);
}

/** `solution` left out: no current flows anywhere. */
function targets(
  circuit: Circuit,
  state: MachineState,
  classes: Uint8Array,
  solution: Solution | undefined,
): Map<number, number> {
  const found = new Map<number, number>();
  for (const { id, rule } of circuit.machine.controls) {
    if (rule === undefined) continue;
    const target = targetOf(circuit, rule, state[id]!, state, classes, solution);
    if (target !== state[id]) found.set(id, target);
  }
  return found;
}

function targetOf(
  circuit: Circuit,
  rule: SettledRule,
  position: number,
  state: MachineState,
  classes: Uint8Array,
  solution: Solution | undefined,
): number {
  const passes = ({ load, atLeast }: { load: LoadId; atLeast: "weak" | "works" }): boolean =>
    classes[load]! >= (atLeast === "works" ? WORKS : WEAK);
  switch (rule.rule) {
    case "coil":
      if (classes[rule.load] === OFF) return 0;
      return classes[rule.load]! >= WORKS ? 1 : position;
    case "current": {
      const amps =
        solution && alive(solution.circuit, solution, circuit.machine.loads[rule.load]!)
          ? Math.hypot(solution.loadAmps.re[rule.load]!, solution.loadAmps.im[rule.load]!)
          : 0;
      if (amps >= rule.pullsIn * (1 - SLACK)) return 1;
      return amps < rule.dropsOut * (1 - SLACK) ? 0 : position;
    }
    case "seat":
      if (rule.opens.every(passes)) return 1;
      return position === 1 && rule.stays.every(passes) ? 1 : 0;
    case "latch":
      if (conditionHolds(rule.sets, state)) return 1;
      return conditionHolds(rule.clears, state) ? 0 : position;
    case "motor":
      return motorTarget(rule, position, classes, solution);
  }
}

function motorTarget(rule: MotorRule, position: number, classes: Uint8Array, solution: Solution | undefined): number {
  const turning = rule.either ? rule.starts : [];
  const works = (load: LoadId) => classes[load]! >= WORKS;
  const working = rule.mains.filter((main) => works(main) || turning.some(works));
  if (position >= 2) return working.length > 0 ? position : 0;
  for (const main of working) {
    if (rule.starts.length === 0) return 2;
    for (const start of rule.starts) {
      const sign = torqueSign(rule, main, start, classes, solution);
      if (sign !== 0) return rule.leftSign === undefined || sign === rule.leftSign ? 2 : 3;
    }
  }
  return [...rule.mains, ...turning].some((load) => classes[load]! >= WEAK) ? 1 : 0;
}

/** Sign of Im(Ia conj(Im)) when the pair of windings gives a starting torque, 0 when it does not. */
function torqueSign(
  rule: MotorRule,
  main: LoadId,
  start: LoadId,
  classes: Uint8Array,
  solution: Solution | undefined,
): number {
  if (!solution || classes[start]! < WEAK || classes[main]! < WEAK) return 0;
  const { re, im } = solution.loadAmps;
  const product = Math.hypot(re[start]!, im[start]!) * Math.hypot(re[main]!, im[main]!);
  const crossed = im[start]! * re[main]! - re[start]! * im[main]!;
  if (Number.isNaN(crossed) || product === 0 || Math.abs(crossed) < (rule.leastTorque - SLACK) * product) return 0;
  return Math.sign(crossed);
}

/** Class of every load in a solved state, by load id (MEANING.md 4 to 6): 0 off, 1 weak, 2 works, 3 over. */
export function classesOf(circuit: Circuit, solution: Solution): Uint8Array {
  // Wires that overrides part move joints: the solution's own circuit knows them.
  const solved = solution.circuit;
  let largestLeg = 0;
  circuit.legRe.forEach((re, leg) => {
    largestLeg = Math.max(largestLeg, Math.hypot(re, circuit.legIm[leg]!));
  });
  return Uint8Array.from(circuit.machine.loads, (load) => {
    if (!alive(solved, solution, load)) return OFF;
    const volts = Math.hypot(solution.loadVolts.re[load.id]!, solution.loadVolts.im[load.id]!);
    if (Number.isNaN(volts)) return WORKS;
    if (load.ratedVolts === undefined) return volts >= largestLeg * FED_SHARE - SLACK ? WORKS : OFF;
    const share = volts / load.ratedVolts + SLACK;
    if (share < load.scale.weak) return OFF;
    if (share < load.scale.works) return WEAK;
    return share < load.scale.over ? WORKS : OVER;
  });
}

function alive(circuit: Circuit, solution: Solution, load: Load): boolean {
  return (
    solution.state[circuit.machine.supply.control] === 0 &&
    solution.shorts.length === 0 &&
    impedanceOf(load, solution.state) !== undefined &&
    solution.fed[circuit.loadA[load.id]!] === 1 &&
    solution.fed[circuit.loadB[load.id]!] === 1
  );
}

function impedanceOf(load: Load, state: MachineState): Complex | undefined {
  return load.impedance[load.impedance.length === 1 || load.control === undefined ? 0 : state[load.control]!];
}
