/** The constant tables against the publications they come from. */
import { describe, expect, test } from "vitest";
import { classScales } from "../../server/machine/tables/class-scales.ts";
import { codeLetterAmps, codeLetters } from "../../server/machine/tables/code-letters.ts";
import {
  fullLoadAmps,
  fullLoadCurrents,
  lockedRotorAmps,
  lockedRotorRatio,
} from "../../server/machine/tables/motor-currents.ts";
import { pilotDuties, pilotDutyPoints } from "../../server/machine/tables/pilot-duty.ts";
import {
  coilInrush,
  currentCoilOhms,
  hotPtcOhms,
  impedanceProtectedInrush,
  inputOhms,
  lampInrush,
  leastTorque,
  smallTransformer,
  startingPowerFactor,
  startWindingShare,
} from "../../server/machine/tables/typical-loads.ts";

describe("single-phase motors, NEC 430.248 (1999 table 430-148, reposted; secondary)", () => {
  test.each([
    [1 / 6, [4.4, 2.5, 2.4, 2.2]],
    [1 / 4, [5.8, 3.3, 3.2, 2.9]],
    [1 / 3, [7.2, 4.1, 4.0, 3.6]],
    [1 / 2, [9.8, 5.6, 5.4, 4.9]],
    [3 / 4, [13.8, 7.9, 7.6, 6.9]],
    [1, [16, 9.2, 8.8, 8]],
    [1.5, [20, 11.5, 11, 10]],
    [2, [24, 13.8, 13.2, 12]],
    [3, [34, 19.6, 18.7, 17]],
    [5, [56, 32.2, 30.8, 28]],
    [7.5, [80, 46, 44, 40]],
    [10, [100, 57.5, 55, 50]],
  ])("%f hp", (horsepower, amps) => {
    expect([115, 200, 208, 230].map((volts) => fullLoadAmps(horsepower, volts))).toEqual(amps);
  });

  test("a 120 V circuit reads the 115 V column, a 240 V one the 230 V column", () => {
    expect(fullLoadAmps(1 / 3, 120)).toBe(7.2);
    expect(fullLoadAmps(1 / 3, 240)).toBe(3.6);
    expect(fullLoadAmps(1 / 3, 400)).toBeUndefined();
  });

  test("a size between two rows takes the larger one, never the smaller current", () => {
    expect(fullLoadAmps(0.4, 115)).toBe(9.8);
    expect(fullLoadCurrents.mark).toBe("secondary");
  });
});

describe("locked-rotor current", () => {
  // NEC 430.251(A), 2008, reposted; secondary.
  test.each([
    [1 / 2, 58.8, 29.4],
    [3 / 4, 82.8, 41.4],
    [1, 96, 48],
    [1.5, 120, 60],
    [2, 144, 72],
    [3, 204, 102],
    [5, 336, 168],
    [7.5, 480, 240],
    [10, 600, 300],
  ])("%f hp", (horsepower, at115, at230) => {
    expect(lockedRotorAmps(horsepower, 115)).toBeCloseTo(at115, 9);
    expect(lockedRotorAmps(horsepower, 230)).toBeCloseTo(at230, 9);
  });

  test("six times the running current, as the table has it throughout", () => {
    expect(lockedRotorRatio).toMatchObject({ value: 6, mark: "computed" });
    expect(lockedRotorAmps(1, 115)).toBe(lockedRotorRatio.value * fullLoadAmps(1, 115)!);
  });

  // Computed from NEC 430.7(B): 1000 x 9.99 / 3 / 115.
  test("code L, 1/3 hp, 115 V: up to 29.0 A", () => {
    expect(codeLetterAmps("L", 1 / 3, 115)).toBeCloseTo(28.96, 2);
    expect(codeLetterAmps("I", 1 / 3, 115)).toBeUndefined();
  });

  test("letters follow one another without overlap (NEC 430.7(B), reposted)", () => {
    const ranges = Object.values(codeLetters.value);
    for (let i = 1; i < ranges.length; i++) expect(ranges[i]![0] - ranges[i - 1]![1]).toBeCloseTo(0.01, 9);
  });
});

describe("pilot duty codes, NEMA ICS 5 / UL 508 (data sheet and wiring handbook; secondary)", () => {
  test.each([
    [
      "A300",
      [
        [120, 10, 60, 6],
        [240, 10, 30, 3],
      ],
    ],
    [
      "B300",
      [
        [120, 5, 30, 3],
        [240, 5, 15, 1.5],
      ],
    ],
    [
      "C300",
      [
        [120, 2.5, 15, 1.5],
        [240, 2.5, 7.5, 0.75],
      ],
    ],
    [
      "D300",
      [
        [120, 1, 3.6, 0.6],
        [240, 1, 1.8, 0.3],
      ],
    ],
    ["E150", [[120, 0.5, 1.8, 0.3]]],
    [
      "A600",
      [
        [120, 10, 60, 6],
        [240, 10, 30, 3],
        [480, 10, 15, 1.5],
        [600, 10, 12, 1.2],
      ],
    ],
  ])("%s", (code, rows) => {
    const points = pilotDutyPoints(code)!;
    expect(points.map(({ volts, thermal }) => [volts, thermal])).toEqual(
      rows.map(([volts, thermal]) => [volts, thermal]),
    );
    points.forEach((point, i) => {
      expect(point.makes).toBeCloseTo(rows[i]![2]!, 9);
      expect(point.breaks).toBeCloseTo(rows[i]![3]!, 9);
    });
  });

  test("codes that the table does not have", () => {
    expect(pilotDutyPoints("E300")).toBeUndefined();
    expect(pilotDutyPoints("D600")).toBeUndefined();
    expect(pilotDutyPoints("F300")).toBeUndefined();
  });
});

test("start and main winding lie about 30 degrees apart (Lessons in Electric Circuits II, ch. 13)", () => {
  const { main, start } = startingPowerFactor.value;
  expect(((Math.acos(main) - Math.acos(start)) * 180) / Math.PI).toBeCloseTo(30, 0);
});

test("class bounds are in order for every kind (trade judgement, from memory)", () => {
  for (const { weak, works, over } of Object.values(classScales)) {
    expect(weak).toBeLessThanOrEqual(works);
    expect(works).toBeLessThan(over);
  }
  expect(classScales.coil).toMatchObject({ weak: 0.2, works: 0.85, over: 1.1 });
  expect(classScales.drive.works).toBe(0.7);
  expect(classScales.winding.works).toBe(0.6);
});

describe("what stands in when the plate is silent", () => {
  // A practitioner's figure, read in a page (secondary).
  test("a cold lamp: 14 times its current", () => {
    expect(lampInrush).toMatchObject({ value: 14, mark: "secondary" });
  });
  test.each([
    ["a start winding's share of the starting current", startWindingShare, 0.5],
    ["the least sine between the currents", leastTorque, 0.2],
    ["a coil with its armature open", coilInrush, 10],
    ["an impedance-protected motor at a standstill", impedanceProtectedInrush, 2],
    ["a hot PTC, ohm", hotPtcOhms, 30_000],
    ["the input of a board, ohm", inputOhms, 100_000],
    ["the coil of a current relay, ohm", currentCoilOhms, 0.05],
  ])("%s: common practice, no published source", (_name, { value, mark }, said) => {
    expect([value, mark]).toEqual([said, "common practice"]);
  });
  test("a small transformer: 8 % impedance, 10 % magnetising current, common practice", () => {
    expect(smallTransformer).toMatchObject({
      value: { impedance: 0.08, magnetising: 0.1, voltAmps: 20 },
      mark: "common practice",
    });
  });
  // NEMA ICS 5 / UL 508, read in a data sheet (secondary): volt-amperes of making are ten times those of breaking down to C.
  test("pilot duty codes", () => {
    expect(pilotDuties.mark).toBe("secondary");
    for (const letter of ["A", "B", "C"])
      expect(pilotDuties.value[letter]!.makeVoltAmps).toBe(pilotDuties.value[letter]!.breakVoltAmps * 10);
    expect(pilotDuties.value.D).toEqual({ thermal: 1, makeVoltAmps: 432, breakVoltAmps: 72 });
    expect(pilotDuties.value.E).toEqual({ thermal: 0.5, makeVoltAmps: 216, breakVoltAmps: 36 });
  });
});
