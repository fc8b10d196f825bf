/** How far the volts at an outlet may lie from nominal. */
import type { Sourced } from "../../machine/tables/source.ts";

export interface SupplyLimits {
  /** Smallest and largest volts as shares of nominal. */
  readonly lowest: number;
  readonly highest: number;
}

/** ANSI C84.1 Table 1, Range B utilization: 106 to 127 V on 120 V (104 V in older editions). From memory. */
export const ANSI_RANGE_B: Sourced<SupplyLimits> = {
  value: { lowest: 106 / 120, highest: 127 / 120 },
  source: "ANSI C84.1 Table 1, Range B utilization",
  mark: "memory",
};

/** 230 V +-10 %: IEC 60038:2009 Table 1. From memory. */
export const IEC_60038: Sourced<SupplyLimits> = {
  value: { lowest: 0.9, highest: 1.1 },
  source: "IEC 60038:2009 Table 1",
  mark: "memory",
};

/** Which limits hold: 60 Hz supplies of 100 to 300 V by ANSI C84.1, the others by IEC 60038. */
export function limitsFor(frequency: number): Sourced<SupplyLimits> {
  return frequency === 60 ? ANSI_RANGE_B : IEC_60038;
}
