/**
 * The solver against the laws of circuits and against a general-purpose numeric library, on random networks: Kirchhoff's
 * current law, power balance (Tellegen), linearity, reciprocity.
 */
import fc from "fast-check";
import { add, type Complex, complex, divide, lusolve, type MathArray, multiply, subtract } from "mathjs";
import { describe, expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Solution } from "../../server/circuit/circuit.ts";
import { solveLinear } from "../../server/circuit/linear.ts";
import { solveState, wattsTaken } from "../../server/circuit/solve.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { buildMachine, polar, stateOf } from "../support/build-machine.ts";
import { drawNetwork, networkSketches } from "./random-network.ts";

function solve(machine: Machine, options?: Parameters<typeof solveState>[2]): Solution {
  return solveState(buildCircuit(machine), stateOf(machine), options);
}

/** Solves with mathjs; one column of unknowns. */
function reference(rows: readonly (readonly Complex[])[], right: readonly Complex[]): Complex[] {
  const column = right.map((value) => [value]);
  return (lusolve(rows as unknown as MathArray, column as unknown as MathArray) as unknown as Complex[][]).map(
    ([value]) => complex(value!),
  );
}

/** Largest magnitude, as the measure of what counts as zero; 120 V through the largest load is 0.01 A. */
function largest(...arrays: Float64Array[]): number {
  return Math.max(0.01, ...arrays.map((array) => array.reduce((most, value) => Math.max(most, Math.abs(value)), 0)));
}

describe("against mathjs lusolve", () => {
  test.each([1, 2, 3, 5, 8, 13, 21, 34])("random equations, n = %i: relative difference below 1e-9", (n) => {
    let seed = n;
    const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647 - 0.5;
    for (let round = 0; round < (n > 15 ? 2 : 10); round++) {
      const aRe = Float64Array.from({ length: n * n }, random);
      const aIm = Float64Array.from({ length: n * n }, random);
      const bRe = Float64Array.from({ length: n }, random);
      const bIm = Float64Array.from({ length: n }, random);
      const rows = Array.from({ length: n }, (_, i) =>
        Array.from({ length: n }, (_, j) => complex(aRe[i * n + j]!, aIm[i * n + j]!)),
      );
      const right = Array.from(bRe, (re, i) => complex(re, bIm[i]!));
      const expected = reference(rows, right);
      expect(solveLinear(n, aRe, aIm, bRe, bIm)).toBe(true);
      const scale = Math.max(...expected.map(({ re, im }) => Math.hypot(re, im)));
      expected.forEach(({ re, im }, i) => {
        expect(Math.hypot(bRe[i]! - re, bIm[i]! - im) / scale).toBeLessThan(1e-9);
      });
    }
  });

  test("nodal analysis of random networks without contacts: relative difference below 1e-9", () => {
    fc.assert(
      fc.property(networkSketches(8, 14, 0), (sketch) => {
        const machine = drawNetwork(sketch, () => 0);
        const circuit = buildCircuit(machine);
        const { joints, fed } = solve(machine);
        const legs = new Map(
          [...circuit.legJoint].map((joint, i) => [joint, complex(circuit.legRe[i]!, circuit.legIm[i]!)]),
        );
        const unknowns = Array.from({ length: circuit.jointCount }, (_, joint) => joint).filter(
          (joint) => fed[joint] && !legs.has(joint),
        );
        if (unknowns.length === 0) return;
        const n = unknowns.length;
        // The textbook way: admittance matrix and currents from the legs.
        const y = Array.from({ length: n }, () => Array.from({ length: n }, () => complex(0, 0)));
        const driven = Array.from({ length: n }, () => complex(0, 0));
        for (const { id, impedance } of machine.loads) {
          const ends = [circuit.loadA[id]!, circuit.loadB[id]!] as const;
          if (ends[0] === ends[1]) continue;
          const admittance = divide(1, complex(impedance[0]!.re, impedance[0]!.im)) as Complex;
          for (const [from, to] of [ends, [ends[1], ends[0]] as const]) {
            const row = unknowns.indexOf(from);
            if (row < 0) continue;
            y[row]![row] = add(y[row]![row]!, admittance);
            const column = unknowns.indexOf(to);
            if (column >= 0) y[row]![column] = subtract(y[row]![column]!, admittance);
            else driven[row] = add(driven[row]!, multiply(admittance, legs.get(to)!) as Complex);
          }
        }
        const expected = reference(y, driven);
        unknowns.forEach((joint, row) => {
          const { re, im } = expected[row]!;
          expect(Math.hypot(joints.re[joint]! - re, joints.im[joint]! - im) / 120).toBeLessThan(1e-9);
        });
      }),
      { numRuns: 150, seed: 7 },
    );
  });
});

/** Current that leaves every joint through loads and contacts and comes from legs: zero by Kirchhoff's current law. */
function currentSums(solution: Solution): number[] {
  const { circuit } = solution;
  const re = new Float64Array(circuit.jointCount);
  const im = new Float64Array(circuit.jointCount);
  const flow = (from: number, to: number, amps: { re: Float64Array; im: Float64Array }, i: number): void => {
    re[from]! += amps.re[i]!;
    im[from]! += amps.im[i]!;
    re[to]! -= amps.re[i]!;
    im[to]! -= amps.im[i]!;
  };
  for (let i = 0; i < circuit.contactA.length; i++)
    flow(circuit.contactA[i]!, circuit.contactB[i]!, solution.contactAmps, i);
  for (let i = 0; i < circuit.loadA.length; i++) flow(circuit.loadA[i]!, circuit.loadB[i]!, solution.loadAmps, i);
  for (let i = 0; i < circuit.legJoint.length; i++) {
    re[circuit.legJoint[i]!]! -= solution.legAmps.re[i]!;
    im[circuit.legJoint[i]!]! -= solution.legAmps.im[i]!;
  }
  return Array.from(re, (value, joint) => Math.hypot(value, im[joint]!));
}

describe("laws on random circuits", () => {
  const sketches = networkSketches(8, 12, 10);
  // Ideal contacts, bad ones (some tenths of an ohm, kilohms), all three kinds at once.
  const mixed = (kind: number): number => [0, 0.3, 2200][kind]!;

  test("Kirchhoff's current law holds at every connection, contact currents included", () => {
    fc.assert(
      fc.property(sketches, (sketch) => {
        const solution = solve(drawNetwork(sketch, mixed));
        const scale = largest(solution.loadAmps.re, solution.loadAmps.im);
        for (const sum of currentSums(solution)) expect(sum / scale).toBeLessThan(1e-9);
      }),
      { numRuns: 500, seed: 1 },
    );
  });

  test("power balance: what the legs deliver is what loads and bad contacts take", () => {
    fc.assert(
      fc.property(sketches, (sketch) => {
        const machine = drawNetwork(sketch, mixed);
        const { legAmps, loadWatts, contactAmps } = solve(machine);
        const delivered = machine.supply.legs.reduce(
          (sum, { volts }, i) => sum + volts.re * legAmps.re[i]! + volts.im * legAmps.im[i]!,
          0,
        );
        const taken =
          loadWatts.reduce((sum, watts) => sum + watts, 0) +
          machine.contacts.reduce(
            (sum, { ohms }, i) => sum + (contactAmps.re[i]! ** 2 + contactAmps.im[i]! ** 2) * ohms,
            0,
          );
        expect(Math.abs(delivered - taken)).toBeLessThan(1e-9 * Math.max(1, taken));
      }),
      { numRuns: 500, seed: 2 },
    );
  });

  test("linearity: supply at 87 % gives 87 % of every volt and amp", () => {
    fc.assert(
      fc.property(sketches, (sketch) => {
        const machine = drawNetwork(sketch, mixed);
        const whole = solve(machine);
        const low = solve(machine, { overrides: { supplyScale: 0.87 } });
        const scale = largest(whole.loadAmps.re, whole.loadAmps.im);
        whole.joints.re.forEach((value, i) => {
          expect(low.joints.re[i]!).toBeCloseTo(0.87 * value, 6);
        });
        whole.contactAmps.im.forEach((value, i) => {
          expect(Math.abs(low.contactAmps.im[i]! - 0.87 * value) / scale).toBeLessThan(1e-9);
        });
      }),
      { numRuns: 200, seed: 3 },
    );
  });

  test("reciprocity: volts at A drive the same current at B as volts at B drive at A", () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ a: fc.nat(5), b: fc.nat(5), ohms: fc.integer({ min: 1, max: 500 }) }), { maxLength: 12 }),
        (rows) => {
          const between = (driven: "A" | "B"): number => {
            const names = ["A", "B", "N", "x", "y", "z"];
            const machine = buildMachine({
              legs: { A: driven === "A" ? 100 : 0, B: driven === "B" ? 100 : 0, N: 0 },
              loads: rows.map(({ a, b, ohms }, i) => ({
                name: `R${i}`,
                a: names[a]!,
                b: names[b]!,
                z: polar(ohms, (ohms % 120) - 60),
              })),
            });
            const { legAmps } = solve(machine);
            return legAmps.re[driven === "A" ? 1 : 0]!;
          };
          const [one, other] = [between("A"), between("B")];
          expect(Math.abs(one - other)).toBeLessThan(1e-9 * Math.max(1, Math.abs(one)));
        },
      ),
      { numRuns: 200, seed: 4 },
    );
  });

  test("contacts without resistance agree with contacts of 1e-9 ohm, parallel ones too", () => {
    fc.assert(
      fc.property(sketches, (sketch) => {
        const ideal = solve(drawNetwork(sketch, () => 0));
        const tiny = solve(drawNetwork(sketch, () => 1e-9));
        // Loops of nothing but contacts between joints of equal volts leave nothing to compare.
        const scale = largest(ideal.loadAmps.re, ideal.loadAmps.im);
        ideal.joints.re.forEach((value, i) => {
          expect(Math.abs(tiny.joints.re[i]! - value)).toBeLessThan(1e-6);
        });
        ideal.contactAmps.re.forEach((value, i) => {
          expect(
            Math.hypot(tiny.contactAmps.re[i]! - value, tiny.contactAmps.im[i]! - ideal.contactAmps.im[i]!) / scale,
          ).toBeLessThan(1e-5);
        });
      }),
      { numRuns: 500, seed: 5 },
    );
  });

  test("with shorts, too, every array is whole and currents away from the short still obey Kirchhoff", () => {
    fc.assert(
      fc.property(sketches, (sketch) => {
        const machine = drawNetwork(sketch, mixed, { shorts: true });
        const solution = solve(machine);
        const told = solution.loadWatts.filter((watts) => !Number.isNaN(watts));
        expect(wattsTaken(buildCircuit(machine), stateOf(machine))).toBe(told.reduce((sum, watts) => sum + watts, 0));
        const scale = largest(
          solution.loadAmps.re,
          solution.loadAmps.im,
          solution.contactAmps.re.map((amps) => amps || 0),
        );
        for (const value of solution.joints.re) expect(value).not.toBeNaN();
        for (const sum of currentSums(solution)) if (!Number.isNaN(sum)) expect(sum / scale).toBeLessThan(1e-9);
        if (solution.shorts.length === 0) for (const value of solution.contactAmps.re) expect(value).not.toBeNaN();
      }),
      { numRuns: 500, seed: 6 },
    );
  });
});
