/** What the ohmmeter reads at each load by itself, and how far it may be off. */
import { meterOhms } from "../circuit/measure.ts";
import { woundKinds } from "../machine/index.ts";
import type { Load, Machine } from "../machine/machine.ts";
import { heaterPower, statedTolerance } from "./tables/meters.ts";
import { copperFactor, heaterCelsius, nichromeFactor, warmWindingCelsius } from "./tables/temperature.ts";

/** Ohm or V; `expected` lies between the ends. Infinity is open. */
export interface Band {
  readonly low: number;
  readonly expected: number;
  readonly high: number;
}

export interface PartOhms extends Band {
  /** What it may read while still warm from work, when that is more than `high`. */
  readonly warm?: number;
  /** Where the number comes from, for the reader. */
  readonly from: string;
}

/** Undefined: not known. Volts squared over watts serves for heaters only; for all else a resistance must be stated. */
export function partOhms(machine: Machine, load: Load): PartOhms | undefined {
  const alone = meterOhms(machine, load.id);
  if (alone === undefined) return undefined;
  if (alone === Number.POSITIVE_INFINITY)
    return {
      low: alone,
      expected: alone,
      high: alone,
      from: load.kind === "neon" ? "a neon lamp is open below its striking volts" : "a charged capacitor reads open",
    };
  const meter = load.meterOhms!;
  if (!meter.stated) return heaterOhms(load, meter.ohms);
  const tolerance = meter.tolerance ?? statedTolerance.value;
  const band: Band = { low: alone * (1 - tolerance), expected: alone, high: alone * (1 + tolerance) };
  const from = meter.tolerance === undefined ? `as stated, ±${Math.round(tolerance * 100)} % assumed` : "as stated";
  if (!woundKinds.has(load.kind)) return { ...band, from };
  return { ...band, warm: band.high * copperFactor(20, warmWindingCelsius.value), from };
}

const hotFactor = nichromeFactor(heaterCelsius.value);
/** Where the curve is highest. */
const mostFactor = nichromeFactor(500);

/** From watts and volts, which hold hot: cold it reads a little less. */
function heaterOhms(load: Load, hot: number): PartOhms {
  const { under, over, small } = heaterPower.value;
  const isSmall = (load.ratedWatts ?? Number.POSITIVE_INFINITY) <= 200;
  const most = 1 + (isSmall ? small : over);
  const least = 1 - (isSmall ? small : under);
  const cold = hot / hotFactor;
  return {
    low: hot / most / mostFactor,
    expected: cold,
    high: hot / least,
    from: "from watts and volts, cold (nichrome)",
  };
}

type Which = keyof Band;
const variants = new WeakMap<Machine, Map<Which, Machine>>();

/** The machine with every load's meter ohms at one end of its band, or as expected. Kept with the machine. */
export function machineWithOhms(machine: Machine, which: Which): Machine {
  let known = variants.get(machine);
  if (!known) variants.set(machine, (known = new Map()));
  let made = known.get(which);
  if (!made) {
    const loads = machine.loads.map((load) => {
      const ohms = partOhms(machine, load)?.[which];
      return ohms === undefined || !load.meterOhms ? load : { ...load, meterOhms: { ...load.meterOhms, ohms } };
    });
    known.set(which, (made = { ...machine, loads }));
  }
  return made;
}
