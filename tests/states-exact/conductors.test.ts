/** Currents of supply legs and written wires over all states: by hand, and against the plain walk on random machines. */
import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { solveState } from "../../server/circuit/solve.ts";
import { farSideOf, wireCurrent } from "../../server/circuit/wire-currents.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { buildMachine, stateOf } from "../support/build-machine.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { withWrittenWires } from "../support/written-wires.ts";
import { compareExtremes, enginesOf, exactEngine } from "./compare.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 5);

/** Two heaters of 120 V, 10 ohm and 20 ohm, behind switches of their own; one feed to both, one neutral each. */
const twoHeaters = buildMachine({
  legs: { L1: 120, N: 0 },
  controls: { A: ["open", "closed"], B: ["open", "closed"] },
  contacts: [
    { name: "A", a: "feed", b: "h1", closed: "A closed" },
    { name: "B", a: "feed2", b: "h2", closed: "B closed" },
  ],
  loads: [
    { name: "H1", a: "h1", b: "n1", z: 10 },
    { name: "H2", a: "h2", b: "n2", z: 20 },
  ],
  wires: [
    ["L1", "feed"],
    ["feed", "feed2"],
    ["n1", "N"],
    ["n1", "n2"],
    ["n2", "N"],
  ],
});

describe("by hand: 12 A and 6 A by Ohm's law, 18 A together", () => {
  const engine = exactEngine(twoHeaters);
  const most = (wire: number): number | undefined =>
    engine.extreme({ of: "wire-amps", wire }, engine.all()).largest?.value;

  test("legs", () => {
    const leg = engine.extreme({ of: "leg-amps", leg: 0 }, engine.all());
    expect(leg.largest?.value).toBeCloseTo(18);
    expect(leg.smallest?.value).toBe(0);
    expect(leg.exact).toBe(true);
    expect([...leg.largest!.state]).toEqual([...stateOf(twoHeaters, { A: "closed", B: "closed" })]);
  });

  test("the common feed carries both, its continuation the second heater", () => {
    expect(most(0)).toBeCloseTo(18);
    expect(most(1)).toBeCloseTo(6);
  });

  test("in a ring of neutral wires no current is told", () => {
    for (const wire of [2, 3, 4])
      expect(engine.extreme({ of: "wire-amps", wire }, engine.all())).toEqual({ exact: false });
  });

  test("within a region", () => {
    const off = engine.when(0, ["off"]);
    expect(engine.extreme({ of: "wire-amps", wire: 0 }, off).largest?.value).toBeCloseTo(6);
  });
});

test("the primary of a transformer draws what its secondary gives, by turns, and the magnetising current", () => {
  // 120 V, 5 : 1, 24 V into 6 ohm: 4 A, on the primary 0.8 A; magnetising 0.12 A from 1000 ohm taken as resistance.
  const machine = buildMachine({
    legs: { L1: 120, N: 0 },
    loads: [{ name: "V", a: "s", b: "t", z: 6 }],
    transformers: [{ primary: ["p", "N"], secondary: ["s", "t"], ratio: 5, magnetising: 1000 }],
    wires: [["L1", "p"]],
  });
  const circuit = buildCircuit(machine);
  const { re, im } = wireCurrent(solveState(circuit, stateOf(machine)), farSideOf(machine, 0)!);
  expect(re).toBeCloseTo(0.92);
  expect(im).toBeCloseTo(0);
});

test("legs and wires equal the plain walk's on random machines", () => {
  let told = 0;
  let not = 0;
  fc.assert(
    fc.property(
      randomMachines(SMALL),
      fc.array(fc.nat(1000), { minLength: 20, maxLength: 40 }),
      fc.nat(2),
      (bare: Machine, picks, rings) => {
        const machine = withWrittenWires(bare, picks, rings);
        const { plain, exact } = enginesOf(machine);
        try {
          compareExtremes(plain, exact, [plain.all(), exact.all()]);
          if (machine.loads.length > 0) compareExtremes(plain, exact, [plain.when(0, ["off"]), exact.when(0, ["off"])]);
          for (const { id } of machine.wires)
            exact.extreme({ of: "wire-amps", wire: id }, exact.all()).largest === undefined ? not++ : told++;
        } catch (error) {
          throw new Error(`${(error as Error).message}\n${describeMachine(machine)}`);
        }
      },
    ),
    { numRuns: RUNS },
  );
  expect(told).toBeGreaterThan(not);
  expect(not).toBeGreaterThan(0);
}, 600_000);
