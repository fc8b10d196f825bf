/** How well a reading fits what a model of the machine shows: densities, so that models of different sharpness compare fairly. */
import type { Machine } from "../machine/machine.ts";
import type { Observation } from "./case.ts";
import type { Prediction, Reading } from "./reading.ts";
import type { Activity } from "./symptoms.ts";

/** Share of readings that mean nothing: wrong terminal, bad contact of the probe, wrong range, a slip of the pen. */
const slips = 0.01;
/** Largest open reading on the logarithmic scale. */
const mostOhms = 2e7;

/** Likelihood, and as a share of the best it could be. */
export interface Fit {
  readonly likelihood: number;
  /** 1: as expected; near 0: contradicts. NaN: the model cannot tell. */
  readonly fit: number;
}

/** `differs`: the prediction is not the healthy one, and `spread` says how vague its size then is (log10). */
export function fitOf(machine: Machine, observed: Observation, predicted: Prediction, spread: number): Fit {
  const { reading, value } = observed;
  if (reading.of === "symptom") {
    const odds = reading.odds?.[predicted.activity ?? "off"] ?? 0.5;
    return { likelihood: odds, fit: odds / 0.95 };
  }
  if (reading.of === "stands") {
    const odds = predicted.holds ? 0.95 : 0.05;
    return { likelihood: odds, fit: odds / 0.95 };
  }
  const range = rangeOf(machine, reading);
  if (reading.of === "ohms") {
    const at = ohmsScale(value);
    if (predicted.low !== undefined && predicted.high !== undefined) {
      const [low, high] = [ohmsScale(predicted.low) - 0.1, ohmsScale(predicted.high) + 0.1];
      const inside = at >= low && at <= high;
      const density = inside ? 1 / Math.max(0.5, high - low) : 0;
      return mixed(density, 1 / Math.max(0.5, high - low), range, inside ? Number.NaN : 0);
    }
    if (predicted.value === undefined) return unknown(range);
    return gauss(at, ohmsScale(predicted.value), Math.hypot(0.05, spread), range);
  }
  if (predicted.value === undefined) return unknown(range);
  const share = reading.of === "volts" ? 0.05 : 0.1;
  const least = reading.of === "volts" ? 1 : reading.of === "amps" ? 0.1 : 8;
  const sigma = Math.hypot(
    least,
    share * predicted.value,
    spread > 0 ? Math.min(1, spread) * 0.5 * (predicted.value + least * 10) : 0,
  );
  const plain = gauss(value, predicted.value, sigma, range);
  if (!predicted.floating) return plain;
  // Stray volts: anything up to most of the supply, more often little.
  const stray = value < 0.9 * range ? 0.4 / range : 0;
  const likelihood = 0.6 * plain.likelihood + stray;
  return { likelihood, fit: Math.max(plain.fit, value < 0.7 * range ? 0.2 : 0) };
}

function gauss(at: number, expected: number, sigma: number, range: number): Fit {
  const peak = 1 / (sigma * Math.sqrt(2 * Math.PI));
  const density = peak * Math.exp(-0.5 * ((at - expected) / sigma) ** 2);
  return mixed(density, peak, range, density / peak);
}

function mixed(density: number, _peak: number, range: number, fit: number): Fit {
  return { likelihood: (1 - slips) * density + slips / range, fit };
}

function unknown(range: number): Fit {
  return { likelihood: 1 / range, fit: Number.NaN };
}

/** Ohms as a meter's user sees them: by size, everything below half an ohm alike, everything above the range open. */
export function ohmsScale(ohms: number): number {
  return Math.log10(Math.min(Math.max(0, ohms), mostOhms) + 1);
}

function rangeOf(machine: Machine, reading: Reading): number {
  if (reading.of === "ohms") return ohmsScale(mostOhms);
  if (reading.of === "amps") return 60;
  if (reading.of === "watts") return 8000;
  const legs = machine.supply.legs.map(({ volts }) => volts);
  let most = 1;
  for (const a of legs) for (const b of legs) most = Math.max(most, Math.hypot(a.re - b.re, a.im - b.im));
  return 1.2 * most;
}

/** Where predictions lie on one line, and how far apart they must be for a reading to tell them apart. */
export function outcomeScale(
  reading: Reading,
  predicted: Prediction,
): { readonly at?: number; readonly apart: number } {
  if (reading.of === "symptom") return { at: activities.indexOf(predicted.activity ?? "off"), apart: 0.5 };
  if (reading.of === "stands") return { at: predicted.holds ? 1 : 0, apart: 0.5 };
  if (predicted.value === undefined) return { apart: 0 };
  if (reading.of === "ohms") return { at: ohmsScale(predicted.value), apart: 0.16 };
  const least = reading.of === "volts" ? 4 : reading.of === "amps" ? 0.4 : 25;
  return { at: predicted.value, apart: least + 0.15 * predicted.value };
}

const activities: readonly Activity[] = ["off", "hums", "weak", "works"];
