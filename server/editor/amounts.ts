/** Numbers as people read them on a meter: three figures, engineering units, and nothing that is only rounding noise. */
import { formatQuantity } from "../../grammar/quantity.ts";
import type { Dimension } from "../../grammar/tree.ts";

/** Below these a reading is zero: less than any meter of the trade shows. */
const nothing: Partial<Record<Dimension, number>> = { voltage: 1e-3, current: 1e-6, power: 1e-6 };

/** What lies in the middle between two numbers of three figures is rounded up whichever way it was worked out: 1505 W are always 1.51 kW. */
const middleUp = 1 + 1e-12;

function say(dimension: Dimension): (value: number) => string {
  return (value) => formatQuantity(Math.abs(value) < (nothing[dimension] ?? 0) ? 0 : value * middleUp, dimension);
}

export const amount = {
  volts: say("voltage"),
  amps: say("current"),
  watts: say("power"),
  ohms: say("resistance"),
};
