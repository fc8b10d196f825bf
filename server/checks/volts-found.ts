/** The most volts that a load gets in some states. */
import type { LoadId, MachineState } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";
import { isProved } from "./unproved.ts";
import { voltsOf } from "./weak-states.ts";

export interface VoltsFound {
  /** NaN where no number is told. */
  readonly value: number;
  readonly state: MachineState;
  /** False where the search for more was cut short. */
  readonly proved: boolean;
}

/** Where the search was cut short before it found any, those of some state. Undefined only when the region is empty. */
export function mostVolts(engine: Engine, load: LoadId, region: Region): VoltsFound | undefined {
  const found = engine.extreme({ of: "load-volts", load }, region);
  const { largest } = found;
  if (largest) return { value: largest.value, state: largest.state, proved: isProved(found) };
  const state = engine.witness(region);
  return state && { value: voltsOf(engine, load, state), state, proved: found.exact };
}
