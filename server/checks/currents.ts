/** States that breakers and wires are sized for, and the largest currents there. */
import type { WireId } from "../machine/machine.ts";
import type { Engine, Extremes, Region } from "../states/engine.ts";
import { anyOf, position } from "./ask.ts";

/** A motor that hums draws its locked-rotor current: told by its own check, and not what breakers and wires are sized for. */
export function notHumming(engine: Engine): Region {
  const { machine } = engine.circuit;
  const hums = machine.controls
    .filter(({ role }) => role === "motor")
    .map(({ id }) => engine.where([[{ control: id, positions: position(machine, id, 1) }]]));
  return engine.not(anyOf(engine, hums));
}

/** Largest steady current out of any live leg; undefined without live legs. */
export function largestLegAmps(engine: Engine, care: Region): Extremes | undefined {
  const all = engine.circuit.machine.supply.legs.flatMap(({ role }, leg) =>
    role === "live" ? [engine.extreme({ of: "leg-amps", leg }, care)] : [],
  );
  if (all.length === 0) return undefined;
  const worst = all.reduce((a, b) => ((b.largest?.value ?? 0) > (a.largest?.value ?? 0) ? b : a));
  const exact = all.every((one) => one.exact);
  const bounds = all.map(
    ({ exact: sure, bound, largest }) => bound ?? (sure ? (largest?.value ?? 0) : Number.POSITIVE_INFINITY),
  );
  return exact ? worst : { ...worst, exact: false, bound: Math.max(...bounds) };
}

/** Steady current of one written wire. */
export function wireAmps(engine: Engine, wire: WireId, care: Region): Extremes {
  return engine.extreme({ of: "wire-amps", wire }, care);
}
