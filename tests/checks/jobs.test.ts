/** Checks yield where work may stop, and only when somebody waits. */
import { expect, test } from "vitest";
import { runChecks } from "../../server/checks/run-checks.ts";
import { analyse, machinesOf, toEnd } from "./analysed.ts";

const TEXT = `
machine "Larkfield jobs"
supply 120/240 V 60 Hz
thermostat T1 opens 68 C closes 57 C rated 25 A 250 V
limit LM opens 121 C closes 93 C rated 5 A 250 V
heater HT 5600 W 240 V
heater HP 1000 W 120 V
wire L1 to T1 to LM to HT to L2
wire L1 to HP to N
`;

test("work that nobody waits for is one job, with the same findings", () => {
  const engine = toEnd(analyse(machinesOf(TEXT)[0]!));
  const run = (isDue?: () => boolean) => {
    const work = runChecks(engine, { isDue });
    let yields = 0;
    for (let step = work.next(); ; step = work.next()) {
      if (step.done) return { yields, findings: step.value };
      yields++;
    }
  };
  const each = run();
  const atOnce = run(() => false);
  expect(each.findings.map(({ id }) => id)).toContain("contact-over-rating");
  expect(atOnce.findings).toEqual(each.findings);
  expect(atOnce.yields).toBe(0);
  let asked = 0;
  const some = run(() => ++asked % 10 === 0);
  expect(some.findings).toEqual(each.findings);
  expect(asked).toBe(each.yields);
  expect(some.yields).toBe(Math.floor(each.yields / 10));
});
