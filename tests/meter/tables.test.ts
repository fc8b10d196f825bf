/** The constants of the meter against their sources. Marks: how far each source was read. */
import { describe, expect, it } from "vitest";
import {
  closedOhms,
  closedVolts,
  heaterPower,
  highImpedanceOhms,
  insulationOhms,
  lowImpedanceOhms,
  meterError,
  openOhms,
  statedTolerance,
} from "../../server/meter/tables/meters.ts";
import {
  copperCoefficient,
  copperFactor,
  heaterCelsius,
  nichromeFactor,
  nichromeFactors,
  warmWindingCelsius,
} from "../../server/meter/tables/temperature.ts";

describe("meters", () => {
  // Lessons in Electric Circuits, Vol. I, chapter 8: digital meters of 10 megohms (primary).
  it("10 megohms in on volts", () => expect(highImpedanceOhms).toMatchObject({ value: 10e6, mark: "primary" }));
  // IEC 60335-1, 10.1, Table 1, heating appliances above 200 W +5 % -10 %, up to 200 W +-10 % (from memory).
  it("heaters: +5 and -10 % of their watts, small ones 10 % either way", () =>
    expect(heaterPower).toMatchObject({ value: { under: 0.1, over: 0.05, small: 0.1 }, mark: "memory" }));
  it.each([
    ["low-impedance volts range", lowImpedanceOhms, 3e3],
    ["shows open from", openOhms, 20e6],
    ["closed contact and leads", closedOhms, 0.5],
    ["across a closed contact", closedVolts, 0.2],
    ["from live parts to metal", insulationOhms, 1e6],
    ["resistance stated without a tolerance", statedTolerance, 0.1],
    ["heater at work", heaterCelsius, 600],
    ["winding that has just worked", warmWindingCelsius, 75],
  ])("%s: common practice, no published source", (_name, { value, mark }, said) => {
    expect([value, mark]).toEqual([said, "common practice"]);
  });
  it("the meter's own error is common practice as well", () => {
    expect(meterError).toMatchObject({ value: { share: 0.01, volts: 0.5, ohms: 0.2 }, mark: "common practice" });
  });
});

describe("heat", () => {
  // An alloy maker's table of Ct (that of GB/T 1234), read in a page (secondary).
  it.each([
    [20, 1],
    [100, 1.006],
    [200, 1.012],
    [300, 1.018],
    [400, 1.025],
    [500, 1.026],
    [600, 1.018],
    [700, 1.01],
    [800, 1.008],
    [900, 1.01],
    [1000, 1.014],
    [1100, 1.021],
    [1200, 1.025],
  ])("Cr20Ni80 at %d C: %f of its resistance at 20 C", (celsius, factor) => {
    expect(nichromeFactor(celsius)).toBeCloseTo(factor, 9);
    expect(nichromeFactors.mark).toBe("secondary");
  });
  // IEC 60028 from memory; CRC Handbook, 78th ed., 0.00404 for the pure element, read in Lessons in Electric Circuits (secondary).
  it("copper: 0.393 % per kelvin, within 3 % of the handbook's pure element", () => {
    expect(copperCoefficient).toMatchObject({ value: 0.00393, mark: "memory" });
    expect(copperCoefficient.value / 0.00404).toBeCloseTo(0.973, 2);
    expect(copperFactor(20, 75)).toBeCloseTo(1.216, 3);
  });
});
