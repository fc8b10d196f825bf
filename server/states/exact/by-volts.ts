/** Amps and watts of a load with one impedance, from its volts: they are largest and smallest in the same states. */
import type { Complex } from "../../machine/machine.ts";
import type { Extreme, Extremes } from "../engine.ts";

/** @param z with a resistance: without one there are no watts, whatever the volts */
export function byVolts(of: "load-amps" | "load-watts", z: Complex, volts: Extremes): Extremes {
  const square = z.re * z.re + z.im * z.im;
  const from = (value: number): number =>
    of === "load-amps" ? value / Math.sqrt(square) : (value * value * z.re) / square;
  const told = (extreme: Extreme | undefined) => extreme && asAmount(extreme, from(extreme.value));
  const { smallest, largest, exact, bound } = volts;
  return {
    smallest: told(smallest),
    largest: told(largest),
    exact,
    ...(bound === undefined ? {} : { bound: from(bound) }),
  };
}

/** The state is looked for when somebody reads it. */
function asAmount(volts: Extreme, value: number): Extreme {
  return {
    value,
    get state() {
      return volts.state;
    },
  };
}
