/**
 * The circuit: points joined by wire become joints, and every contact and load becomes an edge between two joints.
 * Typed arrays only; built once per machine and never changed. What a proposal, a fault or a measurement changes comes
 * in as overrides, so that none of them needs machinery of its own.
 */
import type { Complex, ContactId, LoadId, Machine, MachineState, TerminalId, WireId } from "../machine/machine.ts";

/** What stands in for an edge instead of its normal behaviour. */
export type Override =
  | { readonly as: "normal" }
  | { readonly as: "open" }
  /** A welded contact; a load with its terminals shorted. */
  | { readonly as: "closed" }
  /** A contact: this resistance while it is closed (a burnt contact). A load or wire: this resistance, always. */
  | { readonly as: "ohms"; readonly ohms: number }
  /**
   * The load touches the case (frame of its part, else the protective leg) at `share` of the way from its first terminal
   * (0..1), through `ohms`. A wire or contact touches at the nearer end.
   */
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
  /** A reversible plug the other way round: live and neutral change places (single-phase supplies only). */
  readonly swapped?: boolean;
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
  /** In order from the first leg to the second; empty when a wire alone ties them. */
  readonly contacts: readonly ContactId[];
  /** Shorted loads on the way, and indexes into `overrides.added`; left out when there are none. */
  readonly loads?: readonly LoadId[];
  readonly added?: readonly number[];
}

/** A piece of the circuit whose currents are not told as numbers: everything in it is NaN. */
export interface NotSolved {
  /**
   * `diode`: a diode that is not alone in a purely resistive series path. `resonance`: lossless parts in resonance.
   * `unknown-short`: volts between legs across nothing but parts of 0 ohm.
   */
  readonly why: "diode" | "resonance" | "unknown-short";
  readonly loads: readonly LoadId[];
}

/**
 * One state solved. Phasors rms. Arrays are indexed by joint, contact or load id. NaN means "not told as a number"
 * (`shorts`, `notSolved`), never zero.
 */
export interface Solution {
  /** The circuit that `joints` and `fed` are indexed by: the one given, except when overrides part or add joints. */
  readonly circuit: Circuit;
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
  /** Current delivered by each leg into the machine, by index of `Supply.legs`. */
  readonly legAmps: { readonly re: Float64Array; readonly im: Float64Array };
  /** Real power that each load takes, W. */
  readonly loadWatts: Float64Array;
  /** Current delivered by each transformer's secondary out of its first terminal, by index of `Machine.transformers`. */
  readonly transformerAmps: { readonly re: Float64Array; readonly im: Float64Array };
  /** Currents through `overrides.added` from a to b, by index; empty without overrides. */
  readonly addedAmps: { readonly re: Float64Array; readonly im: Float64Array };
  /** Current into the case for each load with a `to-case` override. */
  readonly caseAmps: ReadonlyMap<LoadId, Complex>;
  /**
   * Loads on half-wave current from a diode: their volts and amps are true rms values (70.7 % of the full wave), the
   * volts of joints between them and the diode are NaN since no single phasor tells them. A contact or leg that carries
   * half-wave current beside other current has the true rms as its magnitude.
   */
  readonly halfWave: readonly LoadId[];
  readonly notSolved: readonly NotSolved[];
}
