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

/**
 * NEC Table 400.5(A)(1), flexible cords, 30 °C, copper: column A with three current-carrying conductors, column B with two.
 * From memory.
 */
export const CORD_SIZES_NEC: Sourced<
  readonly { readonly awg: number; readonly three: number; readonly two: number }[]
> = {
  value: [
    { awg: 18, three: 7, two: 10 },
    { awg: 16, three: 10, two: 13 },
    { awg: 14, three: 15, two: 18 },
    { awg: 12, three: 20, two: 25 },
    { awg: 10, three: 25, two: 30 },
    { awg: 8, three: 35, two: 40 },
    { awg: 6, three: 45, two: 55 },
  ],
  source: "NEC Table 400.5(A)(1)",
  mark: "memory",
};

/** Fixed wiring by IEC 60364-5-52 Table B.52.2, two loaded PVC copper conductors in conduit on a wall (B1). From memory. [mm2, A]. */
export const FIXED_WIRING_IEC: Sourced<readonly (readonly [number, number])[]> = {
  value: [
    [1.5, 17.5],
    [2.5, 24],
    [4, 32],
    [6, 41],
    [10, 57],
  ],
  source: "IEC 60364-5-52 Table B.52.2, method B1",
  mark: "memory",
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

export interface ConductorLimit {
  /** The most amps it may carry, or be fused for. */
  readonly amps: number;
  readonly source: string;
}

/**
 * What a cord may carry, A. Sizes written in AWG go by NEC, in mm2 by IEC; between sizes the smaller one holds. `live`: conductors that
 * carry current (legs and neutral). Undefined off the tables.
 */
export function cordLimit(area: number, text: string, live: number): ConductorLimit | undefined {
  if (isAwg(text)) {
    const row = largestNotAbove(CORD_SIZES_NEC.value, area, ({ awg }) => awgArea(awg));
    return row && { amps: live > 2 ? row.three : row.two, source: said(CORD_SIZES_NEC) };
  }
  const row = largestNotAbove(CORD_SIZES_IEC.value, area, ([, mm2]) => mm2);
  return row && { amps: row[0], source: said(CORD_SIZES_IEC) };
}

/** What fixed wiring may carry (60 °C terminals, NEC 110.14(C)), and the largest breaker on it. */
export function fixedWiringLimit(
  area: number,
  text: string,
): { readonly carries: ConductorLimit; readonly breaker: ConductorLimit } | undefined {
  if (!isAwg(text)) {
    const row = largestNotAbove(FIXED_WIRING_IEC.value, area, ([mm2]) => mm2);
    const limit = row && { amps: row[1], source: said(FIXED_WIRING_IEC) };
    return limit && { carries: limit, breaker: limit };
  }
  const row = largestNotAbove(BUILDING_WIRE.value, area, ({ awg }) => awgArea(awg));
  if (!row) return undefined;
  const small = SMALL_CONDUCTOR_BREAKER.value[row.awg];
  const amps = row.at60 ?? small;
  if (amps === undefined) return undefined;
  const carries = { amps, source: said(row.at60 === undefined ? SMALL_CONDUCTOR_BREAKER : BUILDING_WIRE) };
  // Above 10 AWG the next standard size over the wire's amps is allowed (NEC 240.4(B)).
  const breaker = small ?? standardSizes(60).find((size) => size >= amps) ?? amps;
  return {
    carries,
    breaker: { amps: breaker, source: said(small === undefined ? BREAKER_SIZES_NEC : SMALL_CONDUCTOR_BREAKER) },
  };
}

function isAwg(text: string): boolean {
  return /awg/i.test(text);
}

function largestNotAbove<Row>(rows: readonly Row[], area: number, areaOf: (row: Row) => number): Row | undefined {
  let best: Row | undefined;
  for (const row of rows)
    if (areaOf(row) <= area * 1.005 && (best === undefined || areaOf(row) > areaOf(best))) best = row;
  return best;
}

function said({ source, mark }: Sourced<unknown>): string {
  return mark === "memory" ? `${source}, from memory` : source;
}

/** Standard sizes of breakers and fuses, A: NEC 240.6(A). From memory. */
export const BREAKER_SIZES_NEC: Sourced<readonly number[]> = {
  value: [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100],
  source: "NEC 240.6(A)",
  mark: "memory",
};

/** Preferred rated currents of breakers, A: IEC 60898-1, 5.3.2. From memory. */
export const BREAKER_SIZES_IEC: Sourced<readonly number[]> = {
  value: [6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100],
  source: "IEC 60898-1, 5.3.2",
  mark: "memory",
};

export function standardSizes(frequency: number): readonly number[] {
  return (frequency === 60 ? BREAKER_SIZES_NEC : BREAKER_SIZES_IEC).value;
}

/**
 * Largest breaker or fuse on one appliance, A: 20 A up to 13.3 A, above that 150 % of what it draws or the next standard size (NEC 422.11(E),
 * written for appliances without motors; from memory). Used for all, since motors are allowed more only inside the machine.
 */
export function largestBreaker(draws: number, frequency: number): number {
  if (draws <= 13.3) return 20;
  const wanted = draws * 1.5;
  return standardSizes(frequency).find((size) => size >= wanted) ?? wanted;
}

/** Largest fuse of a motor as a share of its running current: NEC Table 430.52(C)(1), fuse without time delay. From memory. */
export const MOTOR_FUSE_SHARE: Sourced<number> = { value: 3, source: "NEC Table 430.52(C)(1)", mark: "memory" };

/** Largest fuse of other loads as a share of their current: after NEC 422.11(E). From memory. */
export const LOAD_FUSE_SHARE: Sourced<number> = { value: 1.5, source: "NEC 422.11(E)", mark: "memory" };

/** Rated currents of small fuses, A: IEC 60127-1 (the R10 series of ISO 3 with its customary rounding). From memory. */
export const SMALL_FUSES: Sourced<readonly number[]> = {
  value: [
    0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10, 12.5, 16,
  ],
  source: "IEC 60127-1",
  mark: "memory",
};
