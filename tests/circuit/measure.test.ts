/** Ohms unplugged: every parallel path counts, and what is not known is not told. */
import fc from "fast-check";
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

test("random nets, leads off or on: the net between the points reads what the solver of the whole circuit reads", () => {
  const end = fc.nat(9);
  const pair = fc.record({ a: end, b: end });
  fc.assert(
    fc.property(
      fc.record({
        // 0: not known, 1: a charged capacitor, else that many times 5 ohm.
        loads: fc.array(fc.record({ a: end, b: end, is: fc.nat(6) }), { maxLength: 14 }),
        contacts: fc.array(fc.record({ a: end, b: end, closed: fc.boolean() }), { maxLength: 5 }),
        wires: fc.array(pair, { maxLength: 4 }),
        windings: fc.array(fc.record({ primary: pair, secondary: pair }), { maxLength: 1 }),
        lifted: fc.nat(15),
        meter: pair,
      }),
      ({ loads, contacts, wires, windings, lifted, meter }) => {
        const machine = buildMachine({
          legs: { p0: 120, p1: 0 },
          contacts: contacts.map(({ a, b, closed }, i) => ({
            name: `C${i}`,
            a: `p${a}`,
            b: `p${b}`,
            closed: closed ? "always" : "never",
          })),
          loads: loads.map(({ a, b, is }, i) => ({
            name: `R${i}`,
            a: `p${a}`,
            b: `p${b}`,
            z: 10,
            ...(is === 1 ? { kind: "capacitor" as const } : is > 1 ? reads(5 * is) : {}),
          })),
          wires: wires.map(({ a, b }) => [`p${a}`, `p${b}`]),
          transformers: windings.map(({ primary, secondary }) => ({
            primary: [`p${primary.a}`, `p${primary.b}`],
            secondary: [`p${secondary.a}`, `p${secondary.b}`],
            ratio: 2,
          })),
        });
        const id = (point: number) => machine.terminals.find(({ name }) => name === `p${point}`)?.id;
        const [a, b] = [id(meter.a), id(meter.b)];
        if (a === undefined || b === undefined) return;
        const off = machine.wires.filter((_, i) => lifted & (1 << i));
        const open = new Map(off.map((wire) => [wire.id, { as: "open" as const }]));
        const circuit = buildCircuit(machine);
        const own = ohmsBetween(circuit, stateOf(machine), a, b, { wires: open });
        // With a list of connections, even none, the whole circuit is solved.
        const whole = ohmsBetween(circuit, stateOf(machine), a, b, { wires: open, added: [] });
        for (const ohms of ["ohms", "atLeast", "atMost"] as const) {
          if (whole[ohms] > 0 && Number.isFinite(whole[ohms])) expect(own[ohms] / whole[ohms]).toBeCloseTo(1, 9);
          else expect(own[ohms]).toBe(whole[ohms]);
        }
        expect({ ...own, ohms: 0, atLeast: 0, atMost: 0 }).toEqual({ ...whole, ohms: 0, atLeast: 0, atMost: 0 });
      },
    ),
    { numRuns: Number(process.env.RUNS ?? 1000) },
  );
});
