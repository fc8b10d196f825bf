/** What stands in when the plate is silent. All common practice, no published source, unless a line says otherwise. */
import type { LoadKind } from "../machine.ts";
import type { Sourced } from "./source.ts";

/** Running power factor of inductive loads whose plate does not give one. */
export const typicalPowerFactor: Readonly<Partial<Record<LoadKind, number>>> = {
  winding: 0.6,
  "start-winding": 0.85,
  fan: 0.6,
  pump: 0.5,
  drive: 0.65,
  coil: 0.6,
  valve: 0.6,
  buzzer: 0.7,
};

/**
 * Starting power factors of the main and the start winding: chosen so that their currents lie 30 degrees apart, which is
 * what Lessons in Electric Circuits, Vol. II, ch. 13, gives for the resistance split-phase motor ("about 30 degrees").
 */
export const startingPowerFactor: Sourced<{ readonly main: number; readonly start: number }> = {
  value: { main: 0.6, start: 0.918 },
  source: "Lessons in Electric Circuits, Vol. II, ch. 13: windings about 30 degrees apart",
  mark: "computed",
};

/** Starting current of a start winding against the main winding's, when only the main winding's is known. */
export const startWindingShare: Sourced<number> = { value: 0.5, source: "common practice", mark: "common practice" };

/** Smallest sine of the angle between the winding currents that still starts a motor: about 11.5 degrees. */
export const leastTorque: Sourced<number> = { value: 0.2, source: "common practice", mark: "common practice" };

/** Current of a cold tungsten lamp over its hot current (a practitioner's 14; between 10 and 15). */
export const lampInrush: Sourced<number> = { value: 14, source: "practitioner, 14 x", mark: "secondary" };

/** Current of a coil with its armature open over the sealed current: 5 to 10, the larger taken. */
export const coilInrush: Sourced<number> = { value: 10, source: "common practice, 5 to 10 x", mark: "common practice" };

/** A motor marked Z.P. is made to stand still under volts for ever, so its locked current is little above the running one. */
export const impedanceProtectedInrush: Sourced<number> = {
  value: 2,
  source: "common practice, impedance protected",
  mark: "common practice",
};

/** Watts of a load of which nothing is known: only a stand-in, amps are then told as not known. */
export const standInWatts: Readonly<Record<LoadKind, number>> = {
  heater: 1000,
  "bias-heater": 3,
  igniter: 400,
  winding: 200,
  "start-winding": 150,
  fan: 30,
  pump: 60,
  drive: 3,
  coil: 3,
  valve: 8,
  lamp: 10,
  neon: 0.1,
  buzzer: 3,
  resistor: 5,
  capacitor: 5,
  ptc: 10,
  sensor: 0.01,
  diode: 1,
  board: 5,
  load: 60,
};

/** Resistance of a hot PTC when the text does not give it, ohm. */
export const hotPtcOhms: Sourced<number> = { value: 30_000, source: "common practice", mark: "common practice" };
/** Input of a board or a thermistor: next to no current, ohm. */
export const inputOhms: Sourced<number> = { value: 100_000, source: "common practice", mark: "common practice" };
/** Coil of a current relay, ohm: a few turns of thick wire. */
export const currentCoilOhms: Sourced<number> = { value: 0.05, source: "common practice", mark: "common practice" };
/** Short-circuit and no-load current of a small transformer: 8 % impedance, 10 % magnetising current. */
export const smallTransformer: Sourced<{
  readonly impedance: number;
  readonly magnetising: number;
  readonly voltAmps: number;
}> = {
  value: { impedance: 0.08, magnetising: 0.1, voltAmps: 20 },
  source: "common practice",
  mark: "common practice",
};
