/** The exact engine against the plain walk on random machines: every field. */
import * as fc from "fast-check";
import { test } from "vitest";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { checkStatement, compareExtremes, comparePaths, compareRegions, enginesOf, everyState } from "./compare.ts";

const RUNS = Number(process.env.RUNS ?? 300);

test("regions, paths and statements of random machines equal the plain walk's", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      try {
        const { plain, exact } = enginesOf(machine);
        const states = everyState(machine);
        compareRegions(plain, exact, states);
        comparePaths(plain, exact, states);
        for (const load of machine.loads)
          checkStatement(
            plain,
            exact,
            [plain.when(load.id, ["works", "over"]), exact.when(load.id, ["works", "over"])],
            states,
          );
      } catch (error) {
        throw new Error(`${(error as Error).message}\n${describeMachine(machine)}`);
      }
    }),
    { numRuns: RUNS },
  );
});

test("extremes of random machines equal the plain walk's", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), fc.nat(), (machine, pick) => {
      try {
        const { plain, exact } = enginesOf(machine);
        compareExtremes(plain, exact, [plain.all(), exact.all()]);
        if (machine.loads.length > 0) {
          const load = pick % machine.loads.length;
          compareExtremes(plain, exact, [plain.when(load, ["off"]), exact.when(load, ["off"])]);
        }
      } catch (error) {
        throw new Error(`${(error as Error).message}\n${describeMachine(machine)}`);
      }
    }),
    { numRuns: RUNS },
  );
});
