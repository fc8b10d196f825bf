/** Constants against the handbooks they come from. Marks: how far the source itself was read. */
import { describe, expect, it } from "vitest";
import {
  applianceLeadAmps,
  awgArea,
  BREAKER_SIZES_IEC,
  BREAKER_SIZES_NEC,
  BUILDING_WIRE,
  CORD_SIZES_IEC,
  CORD_SIZES_NEC,
  cordLimit,
  FIXED_WIRING_IEC,
  FREE_AIR,
  fixedWiringLimit,
  LOAD_FUSE_SHARE,
  largestBreaker,
  MOTOR_FUSE_SHARE,
  SMALL_CONDUCTOR_BREAKER,
  SMALL_FUSES,
  standardSizes,
} from "../../server/checks/tables/conductors.ts";
import { ANSI_RANGE_B, IEC_60038, limitsFor } from "../../server/checks/tables/supply-limits.ts";

describe("conductors", () => {
  // Solid copper areas, circular mils: Lessons in Electric Circuits, Vol. I, chapter 12 (primary). 1 cmil = 5.067e-4 mm2.
  it.each([
    [8, 16510],
    [10, 10380],
    [12, 6530],
    [14, 4107],
    [16, 2583],
    [18, 1624],
    [20, 1022],
    [22, 642.5],
  ])("%d AWG has %d circular mils", (awg, mils) => {
    expect(awgArea(awg) / 5.06707e-4 / mils).toBeCloseTo(1, 3);
  });

  // NEC Table 310.16 (2023), read in an ampacity chart page (secondary).
  it.each([
    [14, 15, 20, 25],
    [12, 20, 25, 30],
    [10, 30, 35, 40],
    [8, 40, 50, 55],
  ])("building wire %d AWG: %d, %d, %d A", (awg, at60, at75, at90) => {
    expect(BUILDING_WIRE.value.find((row) => row.awg === awg)).toEqual({ awg, at60, at75, at90 });
  });

  it("small-conductor breakers: 15, 20, 30 A (NEC 240.4(D), secondary); 7 and 10 A (memory)", () => {
    expect(SMALL_CONDUCTOR_BREAKER.value).toEqual({ 14: 15, 12: 20, 10: 30, 18: 7, 16: 10 });
  });
  // NEC Table 400.5(A)(1), columns A and B (from memory).
  it.each([
    [18, 7, 10],
    [16, 10, 13],
    [14, 15, 18],
    [12, 20, 25],
    [10, 25, 30],
  ])("cord %d AWG: %d A with three conductors in use, %d A with two", (awg, three, two) => {
    expect(cordLimit(awgArea(awg), `${awg} AWG`, 3)?.amps).toBe(three);
    expect(cordLimit(awgArea(awg), `${awg} AWG`, 2)?.amps).toBe(two);
  });
  // NEC 310.16 at 60 C and 240.4(D) (secondary); 240.4(B) and 240.6(A) (from memory).
  it.each([
    [14, 15, 15],
    [12, 20, 20],
    [10, 30, 30],
    [8, 40, 40],
  ])("fixed wiring %d AWG carries %d A on a %d A breaker at most", (awg, carries, breaker) => {
    const limit = fixedWiringLimit(awgArea(awg), `${awg} AWG`);
    expect([limit?.carries.amps, limit?.breaker.amps]).toEqual([carries, breaker]);
  });
  // IEC 60364-5-52 Table B.52.2, method B1 (from memory).
  it.each([
    [1.5, 17.5],
    [2.5, 24],
    [4, 32],
    [6, 41],
  ])("fixed wiring %d mm2 carries %d A", (area, carries) => {
    expect(fixedWiringLimit(area, `${area} mm2`)?.carries.amps).toBe(carries);
  });
  // NEC 422.11(E): 20 A up to 13.3 A, 150 % above, next standard size (from memory).
  it.each([
    [5, 20],
    [13.3, 20],
    [14, 25],
    [22.5, 35],
    [28, 45],
  ])("an appliance of %d A: a breaker of %d A at most", (draws, breaker) => {
    expect(largestBreaker(draws, 60)).toBe(breaker);
  });

  // Free air, 60/75/90 C columns: Lessons in Electric Circuits, Vol. V, chapter 3 (primary; 18 and 16 AWG estimated there).
  it.each([
    [18, 13, undefined, 18],
    [16, 18, undefined, 24],
    [14, 25, 30, 35],
    [12, 30, 35, 40],
    [10, 40, 50, 55],
    [8, 60, 70, 80],
  ])("free air %d AWG: %s, %s, %s A", (awg, at60, at75, at90) => {
    const row = FREE_AIR.value.find((r) => r.awg === awg);
    expect([row?.at60, row?.at75, row?.at90]).toEqual([at60, at75, at90]);
  });

  it("a 12 AWG 150 C lead inside an appliance is good for a 5400 W coil (common practice, no published source)", () => {
    expect(applianceLeadAmps(awgArea(12), 150)!.amps).toBeGreaterThan(22.5);
  });
  it("metric leads take the row of the next smaller AWG size", () => {
    expect(applianceLeadAmps(2.5, 105)).toEqual({ amps: 35, awg: 14 });
    expect(applianceLeadAmps(0.1)).toBeUndefined();
  });
  it("IEC cords: 16 A on 1.5 mm2, 25 A on 2.5 mm2 (IEC 60335-1 Table 11, from memory)", () => {
    expect(new Map(CORD_SIZES_IEC.value).get(16)).toBe(1.5);
    expect(new Map(CORD_SIZES_IEC.value).get(25)).toBe(2.5);
  });
});

/** Ten sizes a decade: ISO 3, R10. Computed from 10^(k/10), from 0.1 up. */
const R10 = [...Array(31).keys()].map((k) => 10 ** (k / 10 - 1));

describe("breakers and fuses", () => {
  it("NEC 240.6(A), from memory: 15 to 100 A", () => {
    expect(BREAKER_SIZES_NEC).toMatchObject({
      value: [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100],
      mark: "memory",
    });
    expect(standardSizes(60)).toBe(BREAKER_SIZES_NEC.value);
  });
  it("IEC 60898-1, 5.3.2, from memory: 6 to 100 A, which is the R10 series (computed) and 13 A besides", () => {
    expect(BREAKER_SIZES_IEC).toMatchObject({
      value: [6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100],
      mark: "memory",
    });
    expect(standardSizes(50)).toBe(BREAKER_SIZES_IEC.value);
    const series = R10.filter((size) => size > 6 && size < 101).filter((size) => !near(size, 12.5));
    const made = BREAKER_SIZES_IEC.value.filter((size) => size !== 13);
    expect(made.length).toBe(series.length);
    for (const [at, size] of made.entries()) expect(near(size, series[at]!, 0.05), `${size} A`).toBe(true);
  });
  it("small fuses, IEC 60127-1, from memory: the R10 series from 0.1 to 16 A (computed)", () => {
    expect(SMALL_FUSES.mark).toBe("memory");
    const series = R10.filter((size) => size < 16.1);
    expect(SMALL_FUSES.value.length).toBe(series.length);
    for (const [at, size] of SMALL_FUSES.value.entries()) expect(near(size, series[at]!, 0.02), `${size} A`).toBe(true);
  });
  it("a motor's fuse without time delay: three times its running current at most (NEC Table 430.52(C)(1), from memory)", () => {
    expect(MOTOR_FUSE_SHARE).toMatchObject({ value: 3, mark: "memory" });
  });
  it("another load's: one and a half times (NEC 422.11(E), from memory)", () => {
    expect(LOAD_FUSE_SHARE).toMatchObject({ value: 1.5, mark: "memory" });
    expect(largestBreaker(20, 60)).toBe(20 * LOAD_FUSE_SHARE.value);
  });
  // 50 Hz: the same rule with the sizes of IEC 60898-1.
  it.each([
    [5, 20],
    [14, 25],
    [22.5, 40],
  ])("an appliance of %d A on 50 Hz: a breaker of %d A at most", (draws, breaker) => {
    expect(largestBreaker(draws, 50)).toBe(breaker);
  });
});

function near(value: number, other: number, share = 0.02): boolean {
  return Math.abs(value / other - 1) <= share;
}

describe("the marks say how far each source was read", () => {
  it.each([
    ["NEC 310.16", BUILDING_WIRE, "secondary"],
    ["NEC 240.4(D)", SMALL_CONDUCTOR_BREAKER, "secondary"],
    ["NEC 400.5(A)(1)", CORD_SIZES_NEC, "memory"],
    ["IEC 60364-5-52 B.52.2", FIXED_WIRING_IEC, "memory"],
    ["Lessons in Electric Circuits, free air", FREE_AIR, "primary"],
    ["IEC 60335-1 Table 11", CORD_SIZES_IEC, "memory"],
    ["ANSI C84.1", ANSI_RANGE_B, "memory"],
    ["IEC 60038", IEC_60038, "memory"],
  ])("%s", (_name, { mark, source }, said) => {
    expect(mark).toBe(said);
    expect(source).not.toBe("");
  });
  // IEC 60335-1 Table 11, from memory: the smallest cord by rated amps.
  it.each([
    [3, 0.5],
    [6, 0.75],
    [10, 1],
    [16, 1.5],
    [25, 2.5],
    [32, 4],
    [40, 6],
  ])("a cord for %d A: %d mm2", (amps, area) => {
    expect(cordLimit(area, `${area} mm2`, 2)?.amps).toBe(amps);
  });
});

describe("supply limits", () => {
  it("Range B utilization: 106 to 127 V on 120 V (ANSI C84.1 Table 1, from memory)", () => {
    expect(120 * ANSI_RANGE_B.value.lowest).toBeCloseTo(106, 9);
    expect(120 * ANSI_RANGE_B.value.highest).toBeCloseTo(127, 9);
    expect(240 * ANSI_RANGE_B.value.lowest).toBeCloseTo(212, 9);
    expect(240 * ANSI_RANGE_B.value.highest).toBeCloseTo(254, 9);
  });
  it("230 V: 207 to 253 V (IEC 60038:2009, from memory)", () => {
    expect(230 * IEC_60038.value.lowest).toBeCloseTo(207, 9);
    expect(230 * IEC_60038.value.highest).toBeCloseTo(253, 9);
  });
  it("goes by the frequency", () => {
    expect(limitsFor(60)).toBe(ANSI_RANGE_B);
    expect(limitsFor(50)).toBe(IEC_60038);
  });
});
