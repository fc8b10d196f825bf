/**
 * The circuit: points joined by wire become joints, and every contact and load becomes an edge between two joints.
 * Typed arrays only; built once per machine and never changed. What a proposal, a fault or a measurement changes comes
 * in as overrides, so that none of them needs machinery of its own.
 */
import type { ContactId, LoadId, Machine, MachineState, TerminalId, WireId } from "../machine/machine.ts";

/** What stands in for an edge instead of its normal behaviour. */
export type Override =
  | { readonly as: "normal" }
  | { readonly as: "open" }
  | { readonly as: "closed" }
  | { readonly as: "ohms"; readonly ohms: number }
  /** The load touches the case at `share` of the way from its first terminal (0..1), through `ohms`. */
  | { readonly as: "to-case"; readonly share: number; readonly ohms: number };

export interface Overrides {
  readonly contacts?: ReadonlyMap<ContactId, Override>;
  readonly loads?: ReadonlyMap<LoadId, Override>;
  readonly wires?: ReadonlyMap<WireId, Override>;
  /** Extra connections: jumpers, meter resistances, faults to the case. */
  readonly added?: readonly { readonly a: TerminalId; readonly b: TerminalId; readonly ohms: number }[];
  /** Legs that are lost (lost neutral, one line gone). */
  readonly lostLegs?: readonly TerminalId[];
  /** Multiplies every leg's volts (supply at its limits). */
  readonly supplyScale?: number;
}

/** `steady`: after everything that starts has started. `inrush`: the first moment of the loads listed, the rest steady. */
export type Moment = { readonly at: "steady" } | { readonly at: "inrush"; readonly loads: readonly LoadId[] };

export interface Circuit {
  readonly machine: Machine;
  readonly jointCount: number;
  /** Joint of each terminal. */
  readonly jointOf: Int32Array;
  /** Terminals of each joint, in text order. */
  readonly terminalsOf: readonly (readonly TerminalId[])[];
  readonly contactA: Int32Array;
  readonly contactB: Int32Array;
  readonly loadA: Int32Array;
  readonly loadB: Int32Array;
  /** Joint of each supply leg, and its phasor. */
  readonly legJoint: Int32Array;
  readonly legRe: Float64Array;
  readonly legIm: Float64Array;
}

/** A chain of closed contacts that ties two legs together. */
export interface ShortCircuit {
  readonly legs: readonly [TerminalId, TerminalId];
  readonly contacts: readonly ContactId[];
}

/** One state solved. Phasors rms. Arrays are indexed by joint, contact or load id. */
export interface Solution {
  readonly state: MachineState;
  readonly joints: { readonly re: Float64Array; readonly im: Float64Array };
  /** 1 where the joint is tied to a leg through closed contacts or loads; a floating joint is 0 V. */
  readonly fed: Uint8Array;
  /** From contact.a to contact.b; 0 when open. */
  readonly contactAmps: { readonly re: Float64Array; readonly im: Float64Array };
  /** From load.a to load.b. */
  readonly loadAmps: { readonly re: Float64Array; readonly im: Float64Array };
  /** Volts of load.a over load.b. */
  readonly loadVolts: { readonly re: Float64Array; readonly im: Float64Array };
  /** Not empty: legs tied together; joints of the short keep one leg's volts and currents through it are not numbers (NaN). */
  readonly shorts: readonly ShortCircuit[];
}
