/** Which loads a contact feeds in one state, and how much of its current is for which kind of load. */

import type { Moment } from "../circuit/circuit.ts";
import { fedLoads } from "../circuit/fed-loads.ts";
import { magnitude } from "../circuit/measure.ts";
import type { ContactId, Load, LoadId, MachineState } from "../machine/machine.ts";
import type { Engine, Extreme, Region } from "../states/engine.ts";
import { energised } from "./ask.ts";
import type { LoadDuty } from "./rating.ts";

export interface FedLoads {
  readonly loads: readonly LoadId[];
  /** Magnitude of the phasor sum of the fed loads' currents, by duty. */
  readonly byDuty: ReadonlyMap<LoadDuty, number>;
  /** The duty that takes the largest share. */
  readonly main: LoadDuty;
}

/** Loads whose current falls by more than half when the contact alone opens. */
export function fedBy(engine: Engine, contact: ContactId, state: MachineState, moment?: Moment): FedLoads {
  const { machine } = engine.circuit;
  const { loads, re, im } = fedLoads(engine.circuit, contact, state, moment);
  const sums = new Map<LoadDuty, { re: number; im: number }>();
  const sides = sideOf(engine, loads);
  for (const id of loads) {
    const sign = sides.get(id) ?? 1;
    const duty = dutyOf(machine.loads[id]!);
    const sum = sums.get(duty) ?? { re: 0, im: 0 };
    sums.set(duty, { re: sum.re + sign * re[id]!, im: sum.im + sign * im[id]! });
  }
  const byDuty = new Map([...sums].map(([duty, sum]) => [duty, magnitude(sum)] as const));
  let main: LoadDuty = "resistive";
  for (const [duty, sum] of byDuty) if (sum > (byDuty.get(main) ?? -1)) main = duty;
  return { loads, byDuty, main };
}

/** Loads written the other way round are counted with their current turned, so that parallel ones add. */
function sideOf(engine: Engine, loads: readonly LoadId[]): Map<LoadId, 1 | -1> {
  const { loadA, loadB } = engine.circuit;
  const sides = new Map<LoadId, 1 | -1>();
  const heads = new Set<number>();
  for (const id of loads) {
    if (heads.has(loadB[id]!) && !heads.has(loadA[id]!)) sides.set(id, -1);
    else heads.add(loadA[id]!);
  }
  return sides;
}

export function dutyOf(load: Load): LoadDuty {
  switch (load.kind) {
    case "winding":
    case "start-winding":
    case "fan":
    case "pump":
    case "drive":
    case "capacitor":
      return "motor";
    case "coil":
    case "valve":
    case "buzzer":
      return "inductive";
    case "lamp":
      return "lamp";
    default:
      return "resistive";
  }
}

/**
 * The first moment after a change: what is on after it and was not before draws its starting current. `on` gives the states in
 * which a load is energised; a check that asks often keeps them.
 */
export function startingMoment(
  engine: Engine,
  { before, state }: Extreme,
  on: (load: LoadId) => Region = (load) => energised(engine, load),
): Moment {
  const loads: LoadId[] = [];
  // Of the others the first moment is like any other.
  for (const { id, inrush } of engine.circuit.machine.loads)
    if (inrush && engine.has(on(id), state) && (before === undefined || !engine.has(on(id), before))) loads.push(id);
  return { at: "inrush", loads };
}
