/** What meters are, how far they may be off, and how far parts may be off their plate. */
import type { Sourced } from "../../machine/tables/source.ts";

/** Input of an ordinary digital meter on a volts range, ohm. */
export const highImpedanceOhms: Sourced<number> = {
  value: 10e6,
  source: "Lessons in Electric Circuits, Vol. I (DC), Chapter 8",
  mark: "primary",
};

/** Input of a low-impedance volts range, or of a meter with a test load, ohm. */
export const lowImpedanceOhms: Sourced<number> = { value: 3e3, source: "common practice", mark: "common practice" };

/** Above this a meter shows open, ohm. */
export const openOhms: Sourced<number> = { value: 20e6, source: "common practice", mark: "common practice" };

/** A closed contact and the meter's own leads together read less than this, ohm. */
export const closedOhms: Sourced<number> = { value: 0.5, source: "common practice", mark: "common practice" };

/** Across a closed contact that carries its current; more shows a bad contact, V. */
export const closedVolts: Sourced<number> = { value: 0.2, source: "common practice", mark: "common practice" };

/** From a live part to bare metal at least this, ohm; less is a fault to the case. */
export const insulationOhms: Sourced<number> = { value: 1e6, source: "common practice", mark: "common practice" };

/** Error of the reading itself: share, and volts or ohms besides. */
export const meterError: Sourced<{ readonly share: number; readonly volts: number; readonly ohms: number }> = {
  value: { share: 0.01, volts: 0.5, ohms: 0.2 },
  source: "common practice",
  mark: "common practice",
};

/** Watts of a heater above 200 W may be this far from its plate; a smaller one +-10 %. */
export const heaterPower: Sourced<{ readonly under: number; readonly over: number; readonly small: number }> = {
  value: { under: 0.1, over: 0.05, small: 0.1 },
  source: "IEC 60335-1, 10.1, Table 1",
  mark: "memory",
};

/** How far a resistance that is stated without a tolerance may be off. */
export const statedTolerance: Sourced<number> = { value: 0.1, source: "common practice", mark: "common practice" };
