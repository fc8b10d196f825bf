/** Which loads a contact feeds in one state, and how much of its current is for which kind of load. */

import type { Circuit, Moment, Solution } from "../circuit/circuit.ts";
import { magnitude } from "../circuit/measure.ts";
import { solveState } from "../circuit/solve.ts";
import type { Contact, ContactId, Load, LoadId, MachineState } from "../machine/machine.ts";
import type { Engine, Extreme, Region } from "../states/engine.ts";
import { energised } from "./ask.ts";
import type { LoadDuty } from "./rating.ts";

/** Below this a load's current is not worth telling, A. */
const LEAST_AMPS = 1e-6;

export interface FedLoads {
  readonly loads: readonly LoadId[];
  /** Magnitude of the phasor sum of the fed loads' currents, by duty. */
  readonly byDuty: ReadonlyMap<LoadDuty, number>;
  /** The duty that takes the largest share. */
  readonly main: LoadDuty;
}

/** Loads whose current falls by more than half when the contact alone opens. */
export function fedBy(engine: Engine, contact: ContactId, state: MachineState, moment?: Moment): FedLoads {
  const { circuit } = engine;
  const { machine } = circuit;
  const closed = solvedLately(circuit, state, moment);
  const amps = machine.loads.map(({ id }) => phasor(closed.loadAmps, id));
  const open = solveState(circuit, state, { without: contact, ...(moment ? { moment } : {}) });
  const loads = machine.loads
    .map(({ id }) => id)
    .filter(
      (id) => magnitude(amps[id]!) > LEAST_AMPS && magnitude(phasor(open.loadAmps, id)) < magnitude(amps[id]!) / 2,
    );
  const sums = new Map<LoadDuty, { re: number; im: number }>();
  const sides = sideOf(engine, machine.contacts[contact]!, loads);
  for (const id of loads) {
    const sign = sides.get(id) ?? 1;
    const duty = dutyOf(machine.loads[id]!);
    const sum = sums.get(duty) ?? { re: 0, im: 0 };
    sums.set(duty, { re: sum.re + sign * amps[id]!.re, im: sum.im + sign * amps[id]!.im });
  }
  const byDuty = new Map([...sums].map(([duty, sum]) => [duty, magnitude(sum)] as const));
  let main: LoadDuty = "resistive";
  for (const [duty, sum] of byDuty) if (sum > (byDuty.get(main) ?? -1)) main = duty;
  return { loads, byDuty, main };
}

const lately = new WeakMap<Circuit, Map<string, Solution>>();
const MOST_SOLVED = 20;

/** Contacts are mostly at their worst in few different states. */
function solvedLately(circuit: Circuit, state: MachineState, moment: Moment | undefined): Solution {
  let solved = lately.get(circuit);
  if (!solved) lately.set(circuit, (solved = new Map()));
  const key = `${state} ${moment?.at} ${moment?.at === "inrush" ? moment.loads : ""}`;
  let solution = solved.get(key);
  if (!solution) {
    if (solved.size >= MOST_SOLVED) solved.clear();
    solved.set(key, (solution = solveState(circuit, state, moment ? { moment } : undefined)));
  }
  return solution;
}

/** Loads written the other way round are counted with their current turned, so that parallel ones add. */
function sideOf(engine: Engine, _contact: Contact, loads: readonly LoadId[]): Map<LoadId, 1 | -1> {
  const { loadA, loadB } = engine.circuit;
  const sides = new Map<LoadId, 1 | -1>();
  const heads = new Set<number>();
  for (const id of loads) {
    if (heads.has(loadB[id]!) && !heads.has(loadA[id]!)) sides.set(id, -1);
    else heads.add(loadA[id]!);
  }
  return sides;
}

function phasor(of: { readonly re: Float64Array; readonly im: Float64Array }, id: number): { re: number; im: number } {
  return { re: of.re[id]!, im: of.im[id]! };
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
  const loads = engine.circuit.machine.loads
    .map(({ id }) => id)
    .filter((id) => engine.has(on(id), state) && (before === undefined || !engine.has(on(id), before)));
  return { at: "inrush", loads };
}
