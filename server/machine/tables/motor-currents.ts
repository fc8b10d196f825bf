/** Full-load and locked-rotor currents of single-phase motors by horsepower and voltage. */
import type { Sourced } from "./source.ts";

export type VoltageColumn = 115 | 200 | 208 | 230;

interface CurrentRow {
  readonly horsepower: number;
  readonly 115: number;
  readonly 200: number;
  readonly 208: number;
  readonly 230: number;
}

/** Full-load current, A. NEC 430.248 (Table 430-148 of 1999, numbers unchanged), read in a reposted copy. */
export const fullLoadCurrents: Sourced<readonly CurrentRow[]> = {
  source: "NEC 430.248",
  mark: "secondary",
  value: [
    { horsepower: 1 / 6, 115: 4.4, 200: 2.5, 208: 2.4, 230: 2.2 },
    { horsepower: 1 / 4, 115: 5.8, 200: 3.3, 208: 3.2, 230: 2.9 },
    { horsepower: 1 / 3, 115: 7.2, 200: 4.1, 208: 4.0, 230: 3.6 },
    { horsepower: 1 / 2, 115: 9.8, 200: 5.6, 208: 5.4, 230: 4.9 },
    { horsepower: 3 / 4, 115: 13.8, 200: 7.9, 208: 7.6, 230: 6.9 },
    { horsepower: 1, 115: 16, 200: 9.2, 208: 8.8, 230: 8 },
    { horsepower: 1.5, 115: 20, 200: 11.5, 208: 11, 230: 10 },
    { horsepower: 2, 115: 24, 200: 13.8, 208: 13.2, 230: 12 },
    { horsepower: 3, 115: 34, 200: 19.6, 208: 18.7, 230: 17 },
    { horsepower: 5, 115: 56, 200: 32.2, 208: 30.8, 230: 28 },
    { horsepower: 7.5, 115: 80, 200: 46, 208: 44, 230: 40 },
    { horsepower: 10, 115: 100, 200: 57.5, 208: 55, 230: 50 },
  ],
};

/** Locked-rotor current at 115 and 230 V over full-load current: exactly 6 in NEC 430.251(A) against 430.248 (computed). */
export const lockedRotorRatio: Sourced<number> = { value: 6, source: "NEC 430.251(A)", mark: "computed" };

/** Column of the tables for a working or plate voltage: motors for 120 V circuits are stamped 115 V, and so on. */
export function voltageColumn(volts: number): VoltageColumn | undefined {
  if (volts >= 100 && volts <= 130) return 115;
  if (volts >= 195 && volts < 204) return 200;
  if (volts >= 204 && volts < 215) return 208;
  if (volts >= 215 && volts <= 254) return 230;
  return undefined;
}

/**
 * Full-load current of a motor, A: the row of that horsepower, or the next larger row for a size between two; below the smallest row the
 * current goes down in proportion (an extension, not in the code). Undefined outside the table.
 */
export function fullLoadAmps(horsepower: number, volts: number): number | undefined {
  const column = voltageColumn(volts);
  if (column === undefined || !(horsepower > 0)) return undefined;
  const rows = fullLoadCurrents.value;
  const smallest = rows[0]!;
  if (horsepower < smallest.horsepower * 0.999) return (smallest[column] * horsepower) / smallest.horsepower;
  return rows.find((row) => row.horsepower >= horsepower * 0.999)?.[column];
}

/** Locked-rotor current, A: 6 x full load, which is NEC 430.251(A) from 1/2 hp up and its extension below. */
export function lockedRotorAmps(horsepower: number, volts: number): number | undefined {
  const amps = fullLoadAmps(horsepower, volts);
  return amps === undefined ? undefined : amps * lockedRotorRatio.value;
}
