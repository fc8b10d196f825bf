/**
 * From which share of its rated volts a kind of load is "weak", "works" and "over". Judgement of the trade, from memory,
 * no published source, except where a line names one.
 */
import type { LoadKind } from "../machine.ts";
import type { Mark } from "./source.ts";

export interface Scale {
  readonly weak: number;
  readonly works: number;
  readonly over: number;
  readonly source: string;
  readonly mark: Mark;
}

const over = 1.1;
const practice = { source: "common practice, no published source", mark: "common practice" } as const;

/** Pulls in at 85 % (IEC 60947-4-1, from memory), may hold down to 20 % (drop-out lies between 20 and 75 %). */
const coil: Scale = { weak: 0.2, works: 0.85, over, source: "IEC 60947-4-1", mark: "memory" };
/** Heat has no threshold: "works" from half the watts (70.7 % of the volts), so that a coil on half its volts is "weak". */
const heat: Scale = { weak: 0.1, works: Math.SQRT1_2, over, source: "half the watts", mark: "computed" };
/** Torque goes with the square of the volts: below about 60 % an induction motor only hums. */
const motor: Scale = { weak: 0.1, works: 0.6, over, ...practice };

export const classScales: Readonly<Record<LoadKind, Scale>> = {
  heater: heat,
  "bias-heater": heat,
  resistor: heat,
  // Still glows at 80 %, and never lights gas.
  igniter: { weak: 0.1, works: 0.85, over, ...practice },
  winding: motor,
  "start-winding": motor,
  fan: motor,
  pump: motor,
  // Timer motors turn from about 70 %.
  drive: { weak: 0.2, works: 0.7, over, ...practice },
  coil,
  valve: coil,
  lamp: { weak: 0.1, works: 0.7, over, ...practice },
  // Strikes at about 65 V, whatever the line; a stated `strikes` replaces this.
  neon: { weak: 65 / 120, works: 65 / 120, over: 2.5, ...practice },
  buzzer: { weak: 0.2, works: 0.7, over, ...practice },
  capacitor: { weak: 0.1, works: 0.7, over, ...practice },
  ptc: { weak: 0.1, works: 0.7, over, ...practice },
  sensor: { weak: 0.1, works: 0.7, over: 10, ...practice },
  diode: { weak: 0.1, works: 0.7, over: 10, ...practice },
  board: { weak: 0.4, works: 0.85, over, ...practice },
  load: { weak: 0.1, works: 0.85, over, ...practice },
};

/** A relay coil of a board's supply and other electronics is dead below this share (common practice). */
export function scaleOf(kind: LoadKind): { weak: number; works: number; over: number } {
  const { weak, works, over: above } = classScales[kind];
  return { weak, works, over: above };
}
