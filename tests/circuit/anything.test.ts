/** Any circuit at all, however senseless: nothing throws, and what is not a number is accounted for. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Override, Overrides } from "../../server/circuit/circuit.ts";
import { ohmsBetween } from "../../server/circuit/measure.ts";
import { continuityPaths } from "../../server/circuit/paths.ts";
import { solveState } from "../../server/circuit/solve.ts";
import { buildMachine, polar, stateOf } from "../support/build-machine.ts";

const names = ["L1", "L2", "N", "PE", "a", "b", "c", "d", "e", "case"];
const end = fc.nat(names.length - 1).map((i) => names[i]!);
const kinds = ["contact", "contact", "resistor", "coil", "diode", "transformer"] as const;
const row = fc.record({
  kind: fc.constantFrom(...kinds),
  a: end,
  b: end,
  c: end,
  d: end,
  z: fc.integer({ min: 1, max: 300 }),
});
const override: fc.Arbitrary<Override> = fc.oneof(
  fc.constantFrom<Override>({ as: "open" }, { as: "closed" }, { as: "normal" }),
  fc.nat(20).map((ohms): Override => ({ as: "ohms", ohms })),
  fc
    .record({ share: fc.nat(4), ohms: fc.nat(3) })
    .map(({ share, ohms }): Override => ({ as: "to-case", share: share / 4, ohms })),
);

test("random parts of every kind, shorts, loops, floating windings, faults", () => {
  fc.assert(
    fc.property(
      fc.array(row, { maxLength: 14 }),
      fc.array(override, { maxLength: 3 }),
      fc.nat(3),
      (rows, faults, way) => {
        const of = (...wanted: string[]) => rows.filter(({ kind }) => wanted.includes(kind));
        const machine = buildMachine({
          legs: { L1: 120, L2: way === 1 ? polar(120, 120) : -120, N: 0, PE: 0 },
          frame: "case",
          contacts: of("contact").map(({ a, b, z }, i) => ({
            name: `C${i}`,
            a,
            b,
            closed: z % 7 ? "always" : "never",
            ohms: z % 5 ? 0 : z / 100,
            ...(z % 3 ? {} : { leaks: 0.001 }),
          })),
          loads: of("resistor", "coil", "diode").map(({ kind, a, b, z }, i) => ({
            name: `R${i}`,
            a,
            b,
            ...(kind === "diode"
              ? { kind, z: [undefined] }
              : { z: kind === "coil" ? polar(z, (z % 120) - 60) : z % 11 ? z : 0 }),
          })),
          transformers: of("transformer").map(({ a, b, c, d, z }) => ({
            primary: [a, b] as const,
            secondary: [c, d] as const,
            ratio: 1 + (z % 9),
            series: z % 4,
            magnetising: z % 2 ? { re: 0, im: 1000 } : 0,
          })),
        });
        const overrides: Overrides = {
          loads: new Map(faults.map((fault, id) => [id, fault])),
          contacts: new Map(faults.map((fault, id) => [id, fault])),
          ...(way === 2 ? { lostLegs: [machine.supply.legs[2]!.terminal] } : {}),
        };
        const circuit = buildCircuit(machine);
        const solution = solveState(circuit, stateOf(machine), way === 3 ? {} : { overrides });
        const { contactAmps, loadAmps, legAmps, transformerAmps, loadWatts, joints, shorts, notSolved, halfWave } =
          solution;
        const told = [contactAmps.re, loadAmps.im, legAmps.re, transformerAmps.im, loadWatts].every(
          (all) => !all.some(Number.isNaN),
        );
        expect(told || shorts.length > 0 || notSolved.length > 0).toBe(true);
        expect(!joints.re.some(Number.isNaN) || halfWave.length > 0 || notSolved.length > 0).toBe(true);
        const reading = ohmsBetween(circuit, stateOf(machine), 0, machine.terminals.length - 1, overrides);
        expect(reading.known ? reading.ohms >= 0 : reading.atLeast < reading.atMost).toBe(true);
        for (const { id } of machine.loads) continuityPaths(circuit, stateOf(machine), id);
      },
    ),
    { numRuns: 1500, seed: 8 },
  );
});
