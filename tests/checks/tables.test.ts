/** Constants against the handbooks they come from. Marks: how far the source itself was read. */
import { describe, expect, it } from "vitest";
import {
  applianceLeadAmps,
  awgArea,
  BUILDING_WIRE,
  CORD_SIZES_IEC,
  cordLimit,
  FREE_AIR,
  fixedWiringLimit,
  largestBreaker,
  SMALL_CONDUCTOR_BREAKER,
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
