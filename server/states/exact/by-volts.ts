/** Amps and watts of a load with one impedance, from its volts: they are largest and smallest in the same states. */
import type { Complex, MachineState } from "../../machine/machine.ts";
import type { Extreme, Extremes } from "../engine.ts";

/** @param z with a resistance: without one there are no watts, whatever the volts */
export function byVolts(of: "load-amps" | "load-watts", z: Complex, volts: Extremes): Extremes {
  const square = z.re * z.re + z.im * z.im;
  const from = (value: number): number =>
    of === "load-amps" ? value / Math.sqrt(square) : (value * value * z.re) / square;
  const told = (extreme: Extreme | undefined) => extreme && new Amount(from(extreme.value), extreme);
  const { smallest, largest, exact, bound } = volts;
  return {
    smallest: told(smallest),
    largest: told(largest),
    exact,
    ...(bound === undefined ? {} : { bound: from(bound) }),
  };
}

/** Its state is that of the volts, which is looked for when somebody reads it. */
class Amount implements Extreme {
  readonly value: number;
  readonly #volts: Extreme;

  constructor(value: number, volts: Extreme) {
    this.value = value;
    this.#volts = volts;
  }

  get state(): MachineState {
    return this.#volts.state;
  }
}
