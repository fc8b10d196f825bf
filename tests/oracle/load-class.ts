/** Load classes of one state: MEANING.md, "Load class". */
import type { Circuit, Solution } from "../../server/circuit/circuit.ts";
import type { Complex, Load, LoadId, LoadTest, MachineState } from "../../server/machine/machine.ts";

export const OFF = 0;
export const WEAK = 1;
export const WORKS = 2;
export const OVER = 3;

/** A bound counts as reached from this much below it. */
export const SLACK = 1e-9;

/** Share of the largest leg's volts from which a load without rated volts counts as working. */
const FED_SHARE = 0.01;

/** Impedance in this state; undefined when the load does not conduct. */
export function impedanceOf(load: Load, state: MachineState): Complex | undefined {
  const index = load.impedance.length === 1 || load.control === undefined ? 0 : state[load.control]!;
  return load.impedance[index];
}

/** True when volts, amps and watts of the load are told in this state at all. */
export function isAlive(circuit: Circuit, solution: Solution, load: Load): boolean {
  const { machine } = circuit;
  return (
    solution.state[machine.supply.control] === 0 &&
    solution.shorts.length === 0 &&
    impedanceOf(load, solution.state) !== undefined &&
    solution.fed[circuit.loadA[load.id]!] === 1 &&
    solution.fed[circuit.loadB[load.id]!] === 1
  );
}

/** Class of every load, by load id. */
export function classesOf(circuit: Circuit, solution: Solution): Uint8Array {
  const { machine } = circuit;
  let largestLeg = 0;
  for (let leg = 0; leg < circuit.legRe.length; leg++) {
    largestLeg = Math.max(largestLeg, Math.hypot(circuit.legRe[leg]!, circuit.legIm[leg]!));
  }
  return Uint8Array.from(machine.loads, (load) => {
    if (!isAlive(circuit, solution, load)) return OFF;
    const volts = Math.hypot(solution.loadVolts.re[load.id]!, solution.loadVolts.im[load.id]!);
    // Not solved (a diode in a mixed circuit): it may be fed, and calling it off would be an all clear.
    if (Number.isNaN(volts)) return WORKS;
    if (load.ratedVolts === undefined) return volts >= largestLeg * FED_SHARE - SLACK ? WORKS : OFF;
    const fraction = volts / load.ratedVolts + SLACK;
    if (fraction < load.scale.weak) return OFF;
    if (fraction < load.scale.works) return WEAK;
    return fraction < load.scale.over ? WORKS : OVER;
  });
}

export function passes(test: LoadTest, classes: Uint8Array): boolean {
  return atLeast(classes, test.load, test.atLeast === "works" ? WORKS : WEAK);
}

export function atLeast(classes: Uint8Array, load: LoadId, least: number): boolean {
  return classes[load]! >= least;
}
