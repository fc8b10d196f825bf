/** Ohms unplugged: every parallel path counts, and what is not known is not told. */
import { describe, expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Overrides } from "../../server/circuit/circuit.ts";
import { loadReading, ohmsBetween } from "../../server/circuit/measure.ts";
import { solveState } from "../../server/circuit/solve.ts";
import type { Load } from "../../server/machine/machine.ts";
import { buildMachine, type MachineLiteral, stateOf } from "../support/build-machine.ts";

const reads = (ohms: number): Pick<Load, "meterOhms"> => ({ meterOhms: { ohms, cold: false, stated: true } });

function ohms(
  literal: MachineLiteral,
  a: string,
  b: string,
  positions: Record<string, string> = {},
  overrides?: Overrides,
) {
  const machine = buildMachine(literal);
  const id = (name: string): number => machine.terminals.find((one) => one.name === name)!.id;
  return ohmsBetween(buildCircuit(machine), stateOf(machine, { SUPPLY: "off", ...positions }), id(a), id(b), overrides);
}

const motor: MachineLiteral = {
  legs: { L: 120, N: 0 },
  controls: { S: ["open", "closed"] },
  contacts: [{ name: "S", a: "C", b: "L", closed: "S closed" }],
  loads: [
    // An impedance on mains tells nothing of what the meter reads.
    { name: "run", a: "C", b: "R", z: { re: 10, im: 20 }, ...reads(4) },
    { name: "start", a: "C", b: "S", z: { re: 12, im: 9 }, ...reads(14) },
  ],
};

test("three-terminal check: start to run reads both windings in series, 18 ohm (Heating & Cooling Essentials 2022, p. 531)", () => {
  expect(ohms(motor, "R", "S").ohms).toBeCloseTo(18, 9);
  expect(ohms(motor, "C", "S").ohms).toBeCloseTo(14, 9);
  expect(ohms(motor, "C", "R").ohms).toBeCloseTo(4, 9);
  expect(ohms(motor, "C", "S").through).toEqual([1]);
});

test("an open winding reads open, a closed contact 0, the same connection 0, a bad contact its ohms", () => {
  expect(ohms(motor, "C", "R", {}, { loads: new Map([[0, { as: "open" }]]) }).ohms).toBe(Number.POSITIVE_INFINITY);
  expect(ohms(motor, "C", "L").ohms).toBe(Number.POSITIVE_INFINITY);
  expect(ohms(motor, "C", "L", { S: "closed" }).ohms).toBe(0);
  expect(ohms({ ...motor, wires: [["C", "D"]] }, "C", "D").ohms).toBe(0);
  expect(ohms(motor, "C", "C").ohms).toBe(0);
  expect(
    ohms(motor, "C", "L", { S: "closed" }, { contacts: new Map([[0, { as: "ohms", ohms: 0.4 }]]) }).ohms,
  ).toBeCloseTo(0.4, 9);
});

describe("parallel paths", () => {
  const two: MachineLiteral = {
    legs: { L: 120, N: 0 },
    loads: [
      { name: "HT", a: "L", b: "N", z: 12, ...reads(12) },
      { name: "LP", a: "L", b: "N", z: 144 },
      { name: "far", a: "N", b: "x", z: 144 },
    ],
  };

  test("one that is not known makes the reading not known, within bounds; one that carries nothing does not matter", () => {
    expect(ohms(two, "L", "N")).toEqual({
      known: false,
      ohms: Number.NaN,
      atLeast: 0,
      atMost: 12,
      unknown: [1],
      through: [0],
    });
  });

  test("all known: resistances in parallel; capacitors read open", () => {
    const loads = two.loads!.map((load) => (load.name === "LP" ? { ...load, ...reads(6) } : load));
    expect(ohms({ ...two, loads }, "L", "N").ohms).toBeCloseTo(4, 9);
    const charged = two.loads!.map((load) => (load.name === "LP" ? { ...load, kind: "capacitor" as const } : load));
    expect(ohms({ ...two, loads: charged }, "L", "N").ohms).toBeCloseTo(12, 9);
  });

  test("an unknown part in a path that is open anyway does not matter", () => {
    expect(ohms({ ...two, loads: [two.loads![0]!, two.loads![2]!] }, "L", "N").known).toBe(true);
  });
});

test("a touch to the case reads from either end what lies between (any reading to the frame: a grounded part)", () => {
  const element: MachineLiteral = {
    legs: { L1: 120, L2: -120, PE: 0 },
    frame: "case",
    loads: [{ name: "HT", a: "a", b: "b", z: 12, ...reads(12) }],
  };
  const touching: Overrides = { loads: new Map([[0, { as: "to-case", share: 0.25, ohms: 0 }]]) };
  expect(ohms(element, "a", "case", {}, touching).ohms).toBeCloseTo(3, 9);
  expect(ohms(element, "b", "case", {}, touching).ohms).toBeCloseTo(9, 9);
  expect(ohms(element, "a", "b", {}, touching).ohms).toBeCloseTo(12, 9);
  expect(ohms(element, "a", "case").ohms).toBe(Number.POSITIVE_INFINITY);
});

test("load readings: 120 V across 60 + j60.3 ohm reads 1.41 A, 119.4 W, power factor 0.705 lagging (Lessons in Electric Circuits II, chapter 11)", () => {
  const machine = buildMachine({
    legs: { L: 120, N: 0 },
    loads: [{ name: "M", a: "L", b: "N", z: { re: 60, im: 2 * Math.PI * 60 * 0.16 } }],
  });
  const reading = loadReading(solveState(buildCircuit(machine), stateOf(machine)), 0);
  expect(reading.amps).toBeCloseTo(1.41, 2);
  expect(reading.watts).toBeCloseTo(119.365, 3);
  expect(reading.powerFactor).toBeCloseTo(0.705, 3);
  expect(reading.current).toBe("lags");
});

test("a load of unknown resistance by itself is not known, neither open nor shorted", () => {
  const alone: MachineLiteral = { legs: { L: 120, N: 0 }, loads: [{ name: "LP", a: "L", b: "N", z: 144 }] };
  expect(ohms(alone, "L", "N")).toMatchObject({
    known: false,
    atLeast: 0,
    atMost: Number.POSITIVE_INFINITY,
    unknown: [0],
  });
});
