/**
 * The exact engine against the plain walk (tests/oracle, written from server/states/MEANING.md by another hand) on random machines:
 * every field. `RUNS` and `SEED` in the environment widen the search.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Complex, Machine } from "../../server/machine/machine.ts";
import { EngineMemory } from "../../server/states/exact/exact-engine.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { MEDIUM, randomMachines, SMALL } from "../support/random-machine.ts";
import {
  checkStatement,
  compareExtremes,
  comparePaths,
  compareRegions,
  compareShares,
  enginesOf,
  everyState,
  exactEngine,
  plainEngine,
} from "./compare.ts";
import { compareWithinBudget } from "./within-budget.ts";

const RUNS = Number(process.env.RUNS ?? 5000);
const SEED = process.env.SEED === undefined ? {} : { seed: Number(process.env.SEED) };

/** Runs the check; a failure tells the machine in words. */
function told(machine: Machine, check: () => void): void {
  try {
    check();
  } catch (error) {
    throw new Error(`${(error as Error).message}\n${describeMachine(machine)}`);
  }
}

test("every field equals the plain walk's on small machines", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), fc.nat(), (machine, pick) =>
      told(machine, () => {
        const { plain, exact } = enginesOf(machine);
        const states = everyState(machine);
        compareRegions(plain, exact, states);
        comparePaths(plain, exact, states);
        compareExtremes(plain, exact, [plain.all(), exact.all()]);
        if (machine.loads.length > 0) {
          const load = pick % machine.loads.length;
          const some = machine.loads.map(({ id }) => id).filter((id) => (pick >> (id % 16)) % 2 === 1);
          compareShares(plain, exact, [plain.all(), exact.all()], some);
          const off = [plain.when(load, ["off"]), exact.when(load, ["off"])] as const;
          // Over a part of the states, too; that takes as long as all the rest.
          if (pick % 3 === 0) compareExtremes(plain, exact, off);
          checkStatement(plain, exact, off, states);
        }
        if (machine.contacts.length > 0) {
          const contact = pick % machine.contacts.length;
          checkStatement(plain, exact, [plain.closed(contact), exact.closed(contact)], states);
        }
        expect(exact.covered().complete).toBe(true);
      }),
    ),
    { numRuns: RUNS, ...SEED },
  );
}, 600_000);

test("every field equals the plain walk's on larger machines", () => {
  fc.assert(
    fc.property(randomMachines(MEDIUM), (machine) =>
      told(machine, () => {
        const { plain, exact } = enginesOf(machine);
        const states = everyState(machine);
        compareRegions(plain, exact, states);
        comparePaths(
          plain,
          exact,
          states.filter((_, k) => k % 17 === 0),
        );
        compareExtremes(plain, exact, [plain.all(), exact.all()]);
      }),
    ),
    { numRuns: Math.ceil(RUNS / 50), ...SEED },
  );
});

test("what one machine leaves in the memory never shows in another's answers", () => {
  const memory = new EngineMemory();
  fc.assert(
    fc.property(randomMachines(SMALL), fc.nat(), (machine, pick) =>
      told(machine, () => {
        const plain = plainEngine(machine);
        const exact = exactEngine(machine, { memory });
        compareRegions(plain, exact, everyState(machine));
        compareExtremes(plain, exact, [plain.all(), exact.all()]);
        if (pick % 4 !== 0 || machine.contacts.length === 0) return;
        // What is in series with a contact was told by the circuit without it: volts of joints were not asked for there.
        const gone = pick % machine.contacts.length;
        const contacts = machine.contacts.map((contact) =>
          contact.id === gone ? { ...contact, closed: [] } : contact,
        );
        const without = { ...machine, contacts };
        const plainWithout = plainEngine(without);
        const exactWithout = exactEngine(without, { memory });
        compareExtremes(plainWithout, exactWithout, [plainWithout.all(), exactWithout.all()]);
      }),
    ),
    { numRuns: Math.ceil(RUNS / 10), ...SEED },
  );
});

test("after edits of ohms, every field equals the plain walk's", () => {
  const times = fc.constantFrom(0.1, 0.5, 0.99, 1.01, 2, 10);
  fc.assert(
    fc.property(randomMachines(SMALL), fc.array(fc.tuple(fc.nat(), times), { maxLength: 4 }), (machine, edits) => {
      const memory = new EngineMemory();
      let changed = machine;
      for (const [pick, factor] of [[0, 1] as const, ...edits]) {
        const at = pick % Math.max(1, machine.loads.length);
        const scaled = (z: Complex | undefined) => z && { re: z.re * factor, im: z.im * factor };
        const loads = changed.loads.map((load, id) => {
          if (id !== at) return load;
          // What it draws as it starts alone, or all that it ever draws.
          if (load.inrush && pick % 3 === 0) return { ...load, inrush: scaled(load.inrush)! };
          return { ...load, impedance: load.impedance.map(scaled) };
        });
        changed = { ...changed, loads };
        const after = changed;
        told(after, () => {
          const plain = plainEngine(after);
          const exact = exactEngine(after, { memory });
          compareRegions(plain, exact, everyState(after));
          compareExtremes(plain, exact, [plain.all(), exact.all()]);
        });
      }
    }),
    { numRuns: Math.ceil(RUNS / 20), ...SEED },
  );
});

test("with a tiny budget every answer equals the plain walk's, or the engine says what it did not cover", () => {
  let covered = 0;
  let open = 0;
  fc.assert(
    fc.property(randomMachines(SMALL), fc.nat(6), (machine, budget) =>
      told(machine, () => {
        const exact = exactEngine(machine, { budget });
        if (exact.covered().complete) covered++;
        open += compareWithinBudget(plainEngine(machine), exact, everyState(machine));
      }),
    ),
    { numRuns: Math.ceil(RUNS / 10), ...SEED },
  );
  // Both kinds occur, else the check would say nothing.
  expect(covered).toBeGreaterThan(0);
  expect(open).toBeGreaterThan(0);
});

test("a run that is stopped says so", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), fc.nat(3), (machine, after) => {
      let asked = 0;
      const exact = exactEngine(machine, { cancelled: () => asked++ >= after });
      const { complete, missing } = exact.covered();
      if (complete) compareRegions(plainEngine(machine), exact, everyState(machine));
      else expect(missing.length).toBeGreaterThan(0);
    }),
    { numRuns: 100, ...SEED },
  );
});
