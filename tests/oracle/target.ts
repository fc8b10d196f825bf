/** Where a settled control wants to go: MEANING.md, "Settled controls". */

import type { Circuit, Solution } from "../../server/circuit/circuit.ts";
import { conditionHolds } from "../../server/circuit/condition.ts";
import type { ControlId, LoadId, MachineState, MotorRule, SettledRule } from "../../server/machine/machine.ts";
import { atLeast, isAlive, OFF, passes, SLACK, WEAK, WORKS } from "./load-class.ts";

const STOPPED = 0;
const HUMS = 1;
const RUNNING = 2;
const RUNNING_LEFT = 2;
const RUNNING_RIGHT = 3;

/** The settled controls that do not stand on their target, with it. */
export function disagreeing(
  circuit: Circuit,
  state: MachineState,
  look: { readonly classes: Uint8Array; readonly solution: Solution },
): { control: ControlId; target: number }[] {
  const result: { control: ControlId; target: number }[] = [];
  for (const { id, settled, rule } of circuit.machine.controls) {
    if (!settled || rule === undefined) continue;
    const target = targetOf(circuit, rule, id, state, look);
    if (target !== state[id]) result.push({ control: id, target });
  }
  return result;
}

/** Target of a settled control with this rule in a state that looks so. */
export function targetOf(
  circuit: Circuit,
  rule: SettledRule,
  control: ControlId,
  state: MachineState,
  look: { readonly classes: Uint8Array; readonly solution: Solution },
): number {
  const { classes, solution } = look;
  const position = state[control]!;
  switch (rule.rule) {
    case "coil":
      if (classes[rule.load] === OFF) return 0;
      return atLeast(classes, rule.load, WORKS) ? 1 : position;
    case "current": {
      // A current coil has next to no volts across it, so that its class says nothing.
      const { re, im } = solution.loadAmps;
      const alive = isAlive(circuit, solution, circuit.machine.loads[rule.load]!);
      const amps = alive ? Math.hypot(re[rule.load]!, im[rule.load]!) : 0;
      if (amps >= rule.pullsIn * (1 - SLACK)) return 1;
      return amps < rule.dropsOut * (1 - SLACK) ? 0 : position;
    }
    case "seat":
      if (rule.opens.every((test) => passes(test, classes))) return 1;
      return position === 1 && rule.stays.every((test) => passes(test, classes)) ? 1 : 0;
    case "latch":
      if (conditionHolds(rule.sets, state)) return 1;
      return conditionHolds(rule.clears, state) ? 0 : position;
    case "motor":
      return motorTarget(rule, position, classes, solution);
  }
}

function motorTarget(rule: MotorRule, position: number, classes: Uint8Array, solution: Solution): number {
  const alike = rule.either ? rule.starts : [];
  const fedFully = (load: LoadId) => atLeast(classes, load, WORKS);
  const working = rule.mains.filter((main) => fedFully(main) || alike.some(fedFully));
  if (position >= RUNNING) return working.length > 0 ? position : STOPPED;
  for (const main of working) {
    if (rule.starts.length === 0) return rule.leftSign === undefined ? RUNNING : RUNNING_LEFT;
    for (const start of rule.starts) {
      const sign = torqueSign(rule, main, start, classes, solution);
      if (sign === 0) continue;
      if (rule.leftSign === undefined) return RUNNING;
      return sign === rule.leftSign ? RUNNING_LEFT : RUNNING_RIGHT;
    }
  }
  return [...rule.mains, ...alike].some((load) => atLeast(classes, load, WEAK)) ? HUMS : STOPPED;
}

/** Sign of Im(Ia conj(Im)) when the pair gives a starting torque, 0 when it does not. */
function torqueSign(rule: MotorRule, main: LoadId, start: LoadId, classes: Uint8Array, solution: Solution): number {
  if (!atLeast(classes, start, WEAK) || !atLeast(classes, main, WEAK)) return 0;
  const { re, im } = solution.loadAmps;
  const product = Math.hypot(re[start]!, im[start]!) * Math.hypot(re[main]!, im[main]!);
  const crossed = im[start]! * re[main]! - re[start]! * im[main]!;
  if (Number.isNaN(crossed) || product === 0 || Math.abs(crossed) < (rule.leastTorque - SLACK) * product) return 0;
  return Math.sign(crossed);
}
