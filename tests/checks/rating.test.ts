/** The rule of rating sets. The 15 A 125 V / 7.5 A 250 V example and its rule: common practice, no published source. */
import { describe, expect, it } from "vitest";
import { judge, limitFor, sameAtVolts } from "../../server/checks/rating.ts";
import type { RatingPoint } from "../../server/machine/machine.ts";
import { fullLoadAmps, lockedRotorRatio } from "../../server/machine/tables/motor-currents.ts";
import { pilotDutyPoints } from "../../server/machine/tables/pilot-duty.ts";

const place = { file: "t", from: 0, to: 0 };
const point = (volts: number, amps: number, more: Partial<RatingPoint> = {}): RatingPoint => ({
  volts,
  duty: "general",
  amps,
  place,
  text: `${amps} A ${volts} V`,
  ...more,
});
const twoVolts = [point(125, 15), point(250, 7.5)];

describe("a rating stated at two voltages", () => {
  it.each([
    [120, 15],
    [125, 15],
    [208, 7.5],
    [240, 7.5],
    [250, 7.5],
  ])("at %d V takes the point that is not below: %d A", (volts, amps) => {
    expect(limitFor(twoVolts, volts, "resistive", "carry")?.amps).toBe(amps);
    expect(limitFor(twoVolts, volts, "resistive", "break")?.amps).toBe(amps);
  });
  it("is not rated at all above the highest", () => {
    expect(judge(twoVolts, 277, "resistive", "carry", 0.1)).toMatchObject({ verdict: "not-rated", highest: 250 });
  });
  it("is within at exactly the limit, and over just past it", () => {
    expect(judge(twoVolts, 240, "resistive", "carry", 7.5)).toMatchObject({ verdict: "within", margin: 0 });
    expect(judge(twoVolts, 240, "resistive", "carry", 7.51).verdict).toBe("over");
  });
});

describe("16(4) A 250 V: IEC 61058-1 marks, read in a switch maker's page", () => {
  const ratings = [point(250, 16, { duty: "resistive" }), point(250, 4, { duty: "motor", makes: 24, breaks: 4 })];
  it("is 16 A for a heater, 4 A for a motor that starts at up to 24 A", () => {
    expect(limitFor(ratings, 230, "resistive", "make")?.amps).toBe(16);
    expect(limitFor(ratings, 230, "motor", "make")).toMatchObject({ amps: 24, stated: true });
    expect(limitFor(ratings, 230, "motor", "break")?.amps).toBe(4);
    expect(judge(ratings, 230, "motor", "break", 5).verdict).toBe("over");
  });
});

it("limits are the same between two voltages when no point lies between, pilot duty apart, and it is rated at both", () => {
  expect(sameAtVolts([point(250, 10)], 120, 240)).toBe(true);
  expect(sameAtVolts([point(30, 10), point(250, 10)], 120, 240)).toBe(true);
  expect(sameAtVolts([point(240, 10)], 120, 240)).toBe(true);
  expect(sameAtVolts(twoVolts, 120, 240)).toBe(false);
  expect(sameAtVolts([point(125, 10)], 120, 240)).toBe(false);
  expect(sameAtVolts([point(24, 10)], 120, 240)).toBe(false);
  expect(sameAtVolts([point(300, 10, { duty: "pilot" })], 120, 240)).toBe(false);
});

describe("horsepower through NEC 430.248 and 430.251(A)", () => {
  const amps = fullLoadAmps(0.5, 120)!;
  const locked = amps * lockedRotorRatio.value;
  const ratings = [
    point(125, 15),
    point(125, amps, { duty: "horsepower", horsepower: 0.5, makes: locked, breaks: locked }),
  ];
  it("1/2 hp at 115 V: 9.8 A running, 58.8 A locked", () => {
    expect(amps).toBe(9.8);
    expect(limitFor(ratings, 120, "motor", "make")?.amps).toBeCloseTo(58.8, 9);
    expect(judge(ratings, 120, "motor", "make", 26).verdict).toBe("within");
  });
  it("covers breaking the locked rotor too", () => {
    expect(judge(ratings, 120, "motor", "break", 58).verdict).toBe("within");
  });
});

describe("plain amps on a switched motor", () => {
  it("have to serve, and are said not to speak of motors", () => {
    const verdict = judge([point(125, 15)], 120, "motor", "make", 26);
    expect(verdict).toMatchObject({ verdict: "over", limit: { amps: 15, stated: false } });
  });
});

describe("pilot duty B300 (NEMA ICS 5 / UL 508, read in a data sheet)", () => {
  const ratings = pilotDutyPoints("B300")!.map(({ volts, thermal, makes, breaks }) =>
    point(volts, thermal, { duty: "pilot", makes, breaks, pilotCode: "B300" }),
  );
  it.each([
    [120, 30, 3],
    [240, 15, 1.5],
  ])("at %d V makes %d A and breaks %d A", (volts, makes, breaks) => {
    expect(limitFor(ratings, volts, "inductive", "make")?.amps).toBeCloseTo(makes, 9);
    expect(limitFor(ratings, volts, "inductive", "break")?.amps).toBeCloseTo(breaks, 9);
  });
  it("between the tabled voltages goes by volt-amperes (from memory)", () => {
    expect(limitFor(ratings, 208, "inductive", "make")?.amps).toBeCloseTo(3600 / 208, 9);
  });
  it("carries its thermal current", () => {
    expect(limitFor(ratings, 120, "inductive", "carry")?.amps).toBe(5);
  });
});

describe("nothing written", () => {
  it("is said so, never taken as good", () => {
    expect(judge([], 120, "resistive", "carry", 1).verdict).toBe("not-stated");
  });
});
