/** Supplies: legs and phasors. */
import { expect, test } from "vitest";
import { load, machineOf } from "../support/fixture.ts";

function between(text: string, a: string, b: string): number {
  const { supply } = machineOf(text);
  const leg = (name: string) => supply.legs.find((each) => each.name === name)!.volts;
  return Math.hypot(leg(a).re - leg(b).re, leg(a).im - leg(b).im);
}

// Lessons in Electric Circuits, Vol. II, ch. 10: 120 V to the neutral, 240 V across.
test("120/240 V: two legs in opposition", () => {
  expect(between("supply 120/240 V 60 Hz", "L1", "N")).toBe(120);
  expect(between("supply 120/240 V 60 Hz", "L2", "N")).toBe(120);
  expect(between("supply 120/240 V 60 Hz", "L1", "L2")).toBe(240);
});

// The same, 12113: 207.85 V between two legs of a 120/208 V wye.
test("120/208 V: two legs of a wye", () => {
  expect(between("supply 120/208 V 60 Hz", "L1", "L2")).toBeCloseTo(207.85, 2);
  expect(machineOf("supply 120/208 V 60 Hz").supply.form).toBe("wye");
});

test("one voltage: L, N and PE, or the names that the text gives", () => {
  const machine = machineOf("supply single 230 V 50 Hz breaker 16 A plug reversible legs X N PE");
  expect(machine.supply.legs.map(({ name, role }) => [name, role])).toEqual([
    ["X", "live"],
    ["N", "neutral"],
    ["PE", "protective"],
  ]);
  expect(machine.supply).toMatchObject({
    form: "single",
    frequency: 50,
    breakerAmps: 16,
    reversible: true,
    stated: true,
  });
});

test("240 V between two named legs without a neutral: half each way against ground", () => {
  expect(between("supply single 240 V 60 Hz legs L1 L2 PE", "L1", "L2")).toBe(240);
  expect(between("supply single 240 V 60 Hz legs L1 L2 PE", "L1", "PE")).toBe(120);
});

test("the supply is a control, on at rest", () => {
  const { controls, supply } = machineOf("supply 120/240 V 60 Hz");
  expect(controls[supply.control]).toMatchObject({ name: "SUPPLY", role: "supply", rest: 0, settled: false });
});

test("without a supply one stands in, and that is told", () => {
  const { machines, findings } = load("heater HT 5400 W 240 V\nwire L1 to HT to L2");
  expect(machines[0]!.supply.stated).toBe(false);
  expect(findings.map(({ id }) => id)).toEqual(["no-supply"]);
});
