/** The exact engine against the plain walk on every sample: every field. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import {
  checkStatement,
  compareExtremes,
  comparePaths,
  compareRegions,
  enginesOf,
  everyState,
  exactEngine,
} from "./compare.ts";
import { compareWithinBudget } from "./within-budget.ts";

const folder = join(import.meta.dirname, "../../samples");
const files = new Map(
  readdirSync(folder)
    .filter((name) => name.endsWith(".camleaf"))
    .map((name) => [name, parse(readFileSync(join(folder, name), "utf8"))]),
);
const machines = [...files.keys()].flatMap((file) => resolveMachines(files, file));

test("there are samples", () => {
  expect(machines.length).toBeGreaterThan(3);
});

describe.each(machines.map((machine) => [machine.label, machine] as const))("%s", (_, machine) => {
  const { plain, exact } = enginesOf(machine);
  const states = everyState(machine);

  test("is covered whole by both", () => {
    const { bounds, ...covered } = exact.covered();
    expect(covered).toEqual({ ...plain.covered(), missing: [] });
    expect(bounds).toEqual([]);
  });

  test("regions", () => {
    compareRegions(plain, exact, states);
  });

  test("paths and chatter", () => {
    comparePaths(
      plain,
      exact,
      states.filter((_, k) => k % 7 === 0),
    );
  });

  test("extremes", () => {
    compareExtremes(plain, exact, [plain.all(), exact.all()]);
  });

  test("with a tiny budget each answer is the same or said to be open", () => {
    let open = 0;
    for (const budget of [0, 1, 3]) open += compareWithinBudget(plain, exactEngine(machine, { budget }), states);
    expect(open).toBeGreaterThan(0);
  });

  test("statements", () => {
    for (const { id } of machine.loads)
      checkStatement(plain, exact, [plain.when(id, ["works", "over"]), exact.when(id, ["works", "over"])], states);
    for (const { id } of machine.contacts) checkStatement(plain, exact, [plain.closed(id), exact.closed(id)], states);
  });
});
