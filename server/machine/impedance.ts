/** Impedances from what a plate says. */
import type { Complex, LoadKind } from "./machine.ts";
import type { Plate } from "./plate.ts";
import { standInWatts, typicalPowerFactor } from "./tables/typical-loads.ts";

export interface Found {
  readonly impedance: Complex;
  readonly known: boolean;
  readonly source?: string;
}

/** Z of a load that draws `amps` at `volts` with a lagging power factor. */
export function impedanceOf(volts: number, amps: number, pf: number): Complex {
  const size = volts / amps;
  return { re: size * pf, im: size * Math.sqrt(Math.max(0, 1 - pf * pf)) };
}

export function magnitude(z: Complex): number {
  return Math.hypot(z.re, z.im);
}

/** Both at once, side by side. */
export function parallel(a: Complex, b: Complex): Complex {
  const sum = { re: a.re + b.re, im: a.im + b.im };
  const product = { re: a.re * b.re - a.im * b.im, im: a.re * b.im + a.im * b.re };
  const square = sum.re * sum.re + sum.im * sum.im;
  return {
    re: (product.re * sum.re + product.im * sum.im) / square,
    im: (product.im * sum.re - product.re * sum.im) / square,
  };
}

/** Loads wound of copper: inductive, and of more ohms while warm. */
export const woundKinds: ReadonlySet<LoadKind> = new Set<LoadKind>([
  "winding",
  "start-winding",
  "fan",
  "pump",
  "drive",
  "coil",
  "valve",
  "buzzer",
]);

/**
 * What turns takes watts by turning, many times what its copper takes: its ohms say nothing of its power factor. (An auxiliary winding of so
 * few ohms would ring with its run capacitor, to volts that no motor shows.)
 */
const turningKinds: ReadonlySet<LoadKind> = new Set<LoadKind>(["winding", "start-winding", "fan", "pump", "drive"]);

/**
 * Running impedance of a load. `volts` are those the plate's watts or amps hold at. Current on the plate wins, then watts,
 * then ohms; with nothing stated a stand-in of the kind's usual watts, not known. `otherwise`: volts that stand in for those not stated.
 */
export function runningImpedance(kind: LoadKind, plate: Plate, volts: number | undefined, otherwise = 120): Found {
  const at = volts ?? otherwise;
  const amps = plate.runs ?? plate.amps ?? (plate.voltAmps === undefined ? undefined : plate.voltAmps / at);
  const watts = plate.runsWatts ?? plate.watts;
  const statedPf = plate.runsPf ?? plate.pf;
  if (!woundKinds.has(kind)) {
    if (plate.ohms && plate.ohms.value > 0) return { impedance: { re: plate.ohms.value, im: 0 }, known: true };
    if (amps !== undefined && amps > 0) {
      const pf = statedPf ?? (kind === "load" && watts ? Math.min(1, watts / (at * amps)) : 1);
      return { impedance: impedanceOf(at, amps, pf), known: volts !== undefined };
    }
    if (watts !== undefined && watts > 0) {
      const pf = statedPf ?? 1;
      return { impedance: impedanceOf(at, watts / (at * pf), pf), known: volts !== undefined };
    }
    const meter = plate.hotOhms ?? plate.meter?.ohms;
    if (meter !== undefined && meter > 0 && kind !== "lamp" && kind !== "board") {
      return { impedance: { re: meter, im: 0 }, known: true, source: "from its resistance" };
    }
    return { impedance: { re: (at * at) / standInWatts[kind], im: 0 }, known: false };
  }
  const usual = typicalPowerFactor[kind] ?? 0.6;
  if (amps !== undefined && amps > 0) {
    const size = at / amps;
    const byWatts = watts !== undefined && watts > 0 ? Math.min(1, watts / (at * amps)) : undefined;
    const byOhms =
      !turningKinds.has(kind) && plate.meter && plate.meter.ohms > 0 && plate.meter.ohms <= size
        ? plate.meter.ohms / size
        : undefined;
    const pf = statedPf ?? byWatts ?? byOhms ?? usual;
    const assumed = statedPf === undefined && byWatts === undefined;
    return {
      impedance: impedanceOf(at, amps, pf),
      known: volts !== undefined,
      source: assumed
        ? byOhms === undefined
          ? `power factor ${usual} assumed`
          : "power factor from its resistance"
        : undefined,
    };
  }
  if (watts !== undefined && watts > 0) {
    const pf = statedPf ?? usual;
    return {
      impedance: impedanceOf(at, watts / (at * pf), pf),
      known: volts !== undefined,
      source: statedPf === undefined ? `power factor ${usual} assumed` : undefined,
    };
  }
  if (plate.meter && plate.meter.ohms > 0 && kind !== "winding" && kind !== "start-winding") {
    const size = plate.meter.ohms / usual;
    return {
      impedance: impedanceOf(at, at / size, usual),
      known: false,
      source: `from its resistance, power factor ${usual} assumed`,
    };
  }
  return { impedance: impedanceOf(at, standInWatts[kind] / (at * usual), usual), known: false };
}
