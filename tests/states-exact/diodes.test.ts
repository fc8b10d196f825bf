/**
 * Diodes: one alone in a resistive path is half-wave (half power, 70.7 % of the rms volts; any textbook on half-wave
 * rectification); anything else is not solved and counts as working, never as off.
 */
import { expect, test } from "vitest";
import { buildMachine } from "../support/build-machine.ts";
import { compareExtremes, compareRegions, enginesOf, everyState } from "./compare.ts";

const low = buildMachine({
  legs: { L1: 120, N: 0 },
  controls: { SW: ["off", "low", "high"] },
  contacts: [
    { name: "feed", a: "L1", b: "x", closed: "SW low/high" },
    { name: "bypass", a: "x", b: "y", closed: "SW high" },
  ],
  loads: [
    { name: "D", a: "x", b: "y", z: 0, kind: "diode" },
    { name: "HT", a: "y", b: "N", z: 24, ratedVolts: 120 },
  ],
});

test("a heater behind a diode gets 70.7 % of its volts", () => {
  const { plain, exact } = enginesOf(low);
  compareRegions(plain, exact, everyState(low));
  compareExtremes(plain, exact, [plain.all(), exact.all()]);
  const slow = exact.where([[{ control: 1, positions: Uint8Array.of(0, 1, 0) }]]);
  expect(exact.extreme({ of: "load-volts", load: 1 }, slow).largest?.value).toBeCloseTo(120 * Math.SQRT1_2, 6);
});

test("a diode in a mixed circuit is not solved, and its loads are not called off", () => {
  const mixed = buildMachine({
    legs: { L1: 120, N: 0 },
    controls: { SW: ["off", "on"] },
    contacts: [{ name: "feed", a: "L1", b: "x", closed: "SW on" }],
    loads: [
      { name: "D", a: "x", b: "y", z: 0, kind: "diode" },
      { name: "M", a: "y", b: "N", z: { re: 20, im: 30 }, kind: "winding", ratedVolts: 120 },
    ],
  });
  const { plain, exact } = enginesOf(mixed);
  compareRegions(plain, exact, everyState(mixed));
  expect(exact.count(exact.when(1, ["works"]))).toBe(1);
});
