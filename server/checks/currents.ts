/** States that breakers and wires are sized for, and the largest currents there. */
import type { Load, WireId } from "../machine/machine.ts";
import type { Engine, Extremes, Region } from "../states/engine.ts";
import { anyOf, coversAll, ENERGISED, FULL, position } from "./ask.ts";

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

/** What draws next to nothing, or only beside another load that counts already. */
const NOT_COUNTED = new Set<Load["kind"]>([
  "resistor",
  "capacitor",
  "sensor",
  "diode",
  "bias-heater",
  "start-winding",
  "neon",
]);

/** True for a load whose amps nobody wrote and that may draw some: a neon lamp takes a milliampere, whatever is written. */
export function mayDrawMore({ kind, known }: Load): boolean {
  return !known && kind !== "neon";
}

/**
 * True when the largest current found is all that the machine can ever draw: every state was looked at and comes to rest, no error of
 * writing left anything out, and every load works at its full volts in some state of `care`, or at reduced ones that the text means. Until
 * then nobody may be told that a smaller breaker, fuse or wire is enough.
 */
export function drawsAllThatItCan(engine: Engine, care: Region): boolean {
  const { machine } = engine.circuit;
  if (!coversAll(engine) || engine.chatters().length > 0) return false;
  if (machine.findings.some(({ gravity }) => gravity === "error")) return false;
  const byCurrent = new Set(machine.controls.flatMap(({ rule }) => (rule?.rule === "current" ? [rule.load] : [])));
  return machine.loads.every(({ id, kind, known, alsoAt, through }) => {
    if (byCurrent.has(id) || NOT_COUNTED.has(kind)) return true;
    if (!known) return false;
    const meant = alsoAt.length > 0 || through.length > 0;
    return !engine.isEmpty(engine.and(care, engine.when(id, meant ? ENERGISED : FULL)));
  });
}
