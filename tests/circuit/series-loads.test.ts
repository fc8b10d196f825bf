/** Loads in series, found on one state laid out once, against the same state solved anew with each load opened by an override. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { seriesLoads } from "../../server/circuit/series-loads.ts";
import { solveState } from "../../server/circuit/solve.ts";
import { surroundings } from "../../server/circuit/surroundings.ts";
import { stateOf } from "../support/build-machine.ts";
import { drawNetwork, networkSketches } from "./random-network.ts";

test.each([false, true])("equal to opening one load after the other (legs may be shorted: %s)", (shorts) => {
  let series = 0;
  let fed = 0;
  fc.assert(
    fc.property(networkSketches(6, 9, 9), (sketch) => {
      const machine = drawNetwork(sketch, (kind) => [0, 0.1, 5][kind]!, { shorts });
      const circuit = buildCircuit(machine);
      const state = stateOf(machine);
      const before = solveState(circuit, state);
      for (const { id } of machine.loads) {
        const across = ({ loadVolts }: typeof before): number => Math.hypot(loadVolts.re[id]!, loadVolts.im[id]!);
        const beside = surroundings(circuit, state, id).loads;
        const { volts, loads } = seriesLoads(circuit, state, id, beside);
        expect(volts).toBeCloseTo(across(before), 6);
        if (!(volts > 0.001)) continue;
        fed++;
        series += loads.length;
        for (const other of beside) {
          const left = across(solveState(circuit, state, { overrides: { loads: new Map([[other, { as: "open" }]]) } }));
          // On the bound itself rounding decides.
          if (Math.abs(left / volts - 0.5) < 1e-9) continue;
          expect(loads.includes(other), `${machine.loads[other]!.name} for ${machine.loads[id]!.name}`).toBe(
            left < volts / 2,
          );
        }
      }
    }),
    { numRuns: 300, seed: 7 },
  );
  expect(fed).toBeGreaterThan(500);
  expect(series).toBeGreaterThan(50);
});
