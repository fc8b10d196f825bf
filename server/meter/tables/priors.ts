/**
 * How likely each kind of fault is before anything is measured. The numbers are odds against each other, common practice, no
 * published source; their order follows:
 * - open failures (switches, wires, coils, fuses) are likelier than any other: Lessons in Electric Circuits, Vol.
 *   IV (Digital), Chapter 6 (primary).
 * - bad connections and contacts first, then the supply, then active parts, then passive ones: Lessons in Electric
 *   Circuits, Vol. V (Reference), Chapter 8, Likely failures in proven systems (primary).
 * - passive parts: capacitors shorted, diodes, windings open or shorted to the core, resistors open and almost
 *   never shorted: Lessons in Electric Circuits, Vol. V (Reference), Chapter 8, Passive components (primary).
 * - shorted contacts are rare, except high-current contacts that weld under overcurrent: Lessons in Electric
 *   Circuits, Vol. V (Reference), Chapter 8, Bad wire connections (primary).
 */
import type { ContactRole, LoadKind } from "../../machine/machine.ts";

export type FaultKind =
  | "contact-open"
  | "contact-welded"
  | "contact-bad"
  | "wire-open"
  | "load-open"
  | "load-shorted"
  | "load-to-case"
  | "stuck"
  | "seized"
  | "not-turning"
  | "leg-lost";

/** A contact of this role: never makes, makes badly, never breaks. */
export const contactOdds: Readonly<
  Record<ContactRole, { readonly open: number; readonly bad: number; readonly welded: number }>
> = {
  switching: { open: 1, bad: 0.5, welded: 0.1 },
  thermostat: { open: 0.6, bad: 0.3, welded: 0.15 },
  limit: { open: 0.5, bad: 0.1, welded: 0.02 },
  link: { open: 1, bad: 0.1, welded: 0.001 },
  overload: { open: 0.5, bad: 0.1, welded: 0.03 },
  "built-in-protector": { open: 0.4, bad: 0.05, welded: 0.02 },
  fuse: { open: 0.8, bad: 0.1, welded: 0.001 },
  breaker: { open: 0.3, bad: 0.1, welded: 0.01 },
  level: { open: 0.8, bad: 0.3, welded: 0.1 },
  lock: { open: 0.8, bad: 0.2, welded: 0.05 },
};

/** A load of this kind: open, shorted, touching its case. */
export const loadOdds: Readonly<
  Record<LoadKind, { readonly open: number; readonly shorted: number; readonly toCase: number }>
> = {
  heater: { open: 2, shorted: 0.02, toCase: 0.2 },
  "bias-heater": { open: 0.3, shorted: 0.01, toCase: 0.01 },
  igniter: { open: 1.5, shorted: 0.01, toCase: 0.02 },
  winding: { open: 0.3, shorted: 0.15, toCase: 0.1 },
  "start-winding": { open: 0.3, shorted: 0.15, toCase: 0.1 },
  fan: { open: 0.5, shorted: 0.1, toCase: 0.05 },
  pump: { open: 0.5, shorted: 0.1, toCase: 0.1 },
  drive: { open: 0.5, shorted: 0.05, toCase: 0.01 },
  coil: { open: 0.4, shorted: 0.1, toCase: 0.02 },
  valve: { open: 0.5, shorted: 0.05, toCase: 0.03 },
  lamp: { open: 1.5, shorted: 0.02, toCase: 0.01 },
  neon: { open: 0.5, shorted: 0.01, toCase: 0.01 },
  buzzer: { open: 0.3, shorted: 0.05, toCase: 0.01 },
  resistor: { open: 0.4, shorted: 0.005, toCase: 0.01 },
  capacitor: { open: 0.4, shorted: 0.5, toCase: 0.02 },
  ptc: { open: 0.3, shorted: 0.1, toCase: 0.01 },
  sensor: { open: 0.3, shorted: 0.1, toCase: 0.02 },
  diode: { open: 0.3, shorted: 0.5, toCase: 0.01 },
  board: { open: 0.6, shorted: 0.2, toCase: 0.01 },
  load: { open: 0.4, shorted: 0.1, toCase: 0.03 },
};

/** One wire or connector pin; there are many of them. */
export const wireOdds = { wire: 0.12, pin: 0.25, bond: 0.05 } as const;
export const otherOdds = {
  stuck: 0.15,
  levelStuck: 0.6,
  relayStuck: 0.2,
  seized: 0.4,
  notTurning: 0.3,
  legLost: 0.4,
} as const;

/** What duty does to a contact's odds, by its worst current over its rating. */
export const dutyFactors = { over: 4, nearly: 1.8, nearlyFrom: 0.8, weldOver: 8 } as const;

/** Share of machines brought in with any one fault of odds 1: makes two faults at once as rare as they are. */
export const oneIn = 0.01;
/** Odds that nothing is wrong that a meter can find: gone again, a setting, water, air. */
export const nothingOdds = 0.3;
