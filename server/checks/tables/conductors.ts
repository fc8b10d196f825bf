/**
 * How many amps a conductor may carry, and what may protect it. Copper only. Every value with its source and how far the source
 * was read: primary, secondary (a page that restates it), memory.
 *
 * Leads inside an appliance are not building wire: 12 AWG with 150 °C insulation at 22.5 A is normal there. Building-wire columns
 * and the small-conductor rule are for cords and fixed wiring.
 */
import type { Sourced } from "../../machine/tables/source.ts";

/** Area of an AWG size, mm2: d = 0.127 mm * 92^((36-n)/39) (ASTM B258 formula; computed). */
export function awgArea(size: number): number {
  const diameter = 0.127 * 92 ** ((36 - size) / 39);
  return (Math.PI / 4) * diameter * diameter;
}

export interface AmpacityRow {
  readonly awg: number;
  /** A at 60, 75 and 90 °C insulation; undefined where the table has none. */
  readonly at60?: number;
  readonly at75?: number;
  readonly at90?: number;
}

/** NEC Table 310.16, 30 °C, not more than three conductors, NEC 2023 as restated by an ampacity chart page. */
export const BUILDING_WIRE: Sourced<readonly AmpacityRow[]> = {
  value: [
    { awg: 18, at90: 14 },
    { awg: 16, at90: 18 },
    { awg: 14, at60: 15, at75: 20, at90: 25 },
    { awg: 12, at60: 20, at75: 25, at90: 30 },
    { awg: 10, at60: 30, at75: 35, at90: 40 },
    { awg: 8, at60: 40, at75: 50, at90: 55 },
  ],
  source: "NEC Table 310.16 (2023), restated; 16 AWG from memory",
  mark: "secondary",
};

/** NEC 240.4(D): largest breaker on small conductors of cords and fixed wiring; 18 and 16 AWG from memory, with conditions. */
export const SMALL_CONDUCTOR_BREAKER: Sourced<Readonly<Record<number, number>>> = {
  value: { 18: 7, 16: 10, 14: 15, 12: 20, 10: 30 },
  source: "NEC 240.4(D), restated; 18 and 16 AWG from memory",
  mark: "secondary",
};

/** NEC Table 402.5, fixture wire; 14 to 10 AWG from memory. */
export const FIXTURE_WIRE: Sourced<Readonly<Record<number, number>>> = {
  value: { 18: 6, 16: 8, 14: 17, 12: 23, 10: 28 },
  source: "NEC Table 402.5, restated; 14 to 10 AWG from memory",
  mark: "secondary",
};

/**
 * Single conductor in free air, which is nearest to a lead inside an appliance: Lessons in Electric Circuits, Vol. V,
 * chapter 3, ampacity table (18 and 16 AWG are estimates there).
 */
export const FREE_AIR: Sourced<readonly AmpacityRow[]> = {
  value: [
    { awg: 18, at60: 13, at90: 18 },
    { awg: 16, at60: 18, at90: 24 },
    { awg: 14, at60: 25, at75: 30, at90: 35 },
    { awg: 12, at60: 30, at75: 35, at90: 40 },
    { awg: 10, at60: 40, at75: 50, at90: 55 },
    { awg: 8, at60: 60, at75: 70, at90: 80 },
  ],
  source: "Lessons in Electric Circuits, Vol. V, chapter 3, free air",
  mark: "primary",
};

/** IEC sizes of supply cords by the appliance's rated current: IEC 60335-1 Table 11, from memory. [most amps, mm2]. */
export const CORD_SIZES_IEC: Sourced<readonly (readonly [number, number])[]> = {
  value: [
    [3, 0.5],
    [6, 0.75],
    [10, 1],
    [16, 1.5],
    [25, 2.5],
    [32, 4],
    [40, 6],
  ],
  source: "IEC 60335-1 Table 11",
  mark: "memory",
};

/**
 * What a lead inside an appliance may carry, A: the free-air row of the largest AWG size that is not above its area, in the
 * column of its insulation (60 °C when nothing is written, 90 °C from there up). Undefined for sizes off the table.
 */
export function applianceLeadAmps(
  area: number,
  insulation?: number,
): { readonly amps: number; readonly awg: number } | undefined {
  const rows = FREE_AIR.value;
  const row = [...rows].reverse().find(({ awg }) => awgArea(awg) <= area * 1.005);
  if (!row) return undefined;
  const amps =
    insulation !== undefined && insulation >= 90
      ? row.at90
      : insulation !== undefined && insulation >= 75
        ? (row.at75 ?? row.at60)
        : row.at60;
  return amps === undefined ? undefined : { amps, awg: row.awg };
}
