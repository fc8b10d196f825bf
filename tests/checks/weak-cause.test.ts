/** Whether a weak load is fed in series or backwards is decided over all states: two engines that show different ones say the same. */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { toEnd } from "../../server/base/to-end.ts";
import { backFeed } from "../../server/checks/back-feed/check.ts";
import { loadWeak } from "../../server/checks/load-weak/check.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import { seriesFeed } from "../../server/checks/series-feed/check.ts";
import type { Engine } from "../../server/states/engine.ts";
import { enginesOf } from "../states-exact/compare.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";

const causes = (engine: Engine): string[] =>
  toEnd(runChecks(engine, { checks: [backFeed, seriesFeed, loadWeak] }))
    .map(({ id, what }) => `${id} ${what.split(" ")[0]}`)
    .sort();

test("back-feed, series-feed and load-weak are the same by the plain walk and by the exact engine", () => {
  const seen = new Map<string, number>();
  for (const machine of fc.sample(randomMachines(SMALL), { numRuns: 1500, seed: 3 })) {
    const { plain, exact } = enginesOf({ ...machine, supply: { ...machine.supply, stated: true } });
    const told = causes(exact);
    expect(told).toEqual(causes(plain));
    for (const one of told) seen.set(one.split(" ")[0]!, (seen.get(one.split(" ")[0]!) ?? 0) + 1);
  }
  for (const id of ["back-feed", "series-feed"]) expect(seen.get(id) ?? 0, id).toBeGreaterThan(10);
}, 120_000);
