/** What the later phase looked at is always said, and so is what its budget cut. Nothing cut short reads as an all-clear. */
import { describe, expect, it } from "vitest";
import { type CheckOptions, runChecks } from "../../server/checks/run-checks.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Engine } from "../../server/states/engine.ts";
import { engineForChanged, makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { analyse, toEnd } from "./analysed.ts";
import { machineOf, textOf } from "./mutations/machines.ts";

function run(name: string, budget?: number) {
  const machine = machineOf(textOf(name));
  const looked: string[] = [];
  const missing: string[] = [];
  const options: CheckOptions = {
    phase: "later",
    analyse: function* (changed: Machine): Generator<void, Engine> {
      return yield* makeExactEngine(buildCircuit(changed), budget === undefined ? {} : { budget });
    },
    looked: (at, cut) => {
      looked.push(at);
      missing.push(...cut);
    },
  };
  const findings = toEnd(runChecks(toEnd(analyse(machine)), options));
  return { looked, missing, findings };
}

const ALWAYS = [
  "the supply at its lower limit",
  "the supply at its upper limit",
  "faults to the case",
  "one contact welded past a protector",
];

describe("with budget enough", () => {
  it.each([
    ["electric-dryer", [...ALWAYS, "the neutral lost", "120/208 V instead of 120/240 V"]],
    ["top-loading-washer", ALWAYS],
    ["fan-heater", ALWAYS.map((at) => (at === "faults to the case" ? `${at}, with the plug either way round` : at))],
  ])("%s: all is said to have been looked at, and nothing cut", (name, looked) => {
    const found = run(name);
    expect(found.looked.sort()).toEqual(looked.sort());
    expect(found.missing).toEqual([]);
  });
});

describe("with a budget of a few pieces", () => {
  it.each(["electric-dryer", "top-loading-washer"])("%s: what was cut is said, of each that was", (name) => {
    const found = run(name, 3);
    const whole = run(name);
    expect(found.looked.sort()).toEqual(whole.looked.sort());
    for (const at of found.looked) {
      if (at.startsWith("faults to the case") || at.startsWith("one contact welded")) continue;
      // Other volts of the supply are judged from the whole engine of the machine as it is.
      if (/^the supply at|^120\/208/.test(at)) continue;
      expect(
        found.missing.filter((sentence) => sentence.includes(at)),
        at,
      ).not.toEqual([]);
      expect(found.findings.some(({ what, why }) => /not every state was looked at/i.test(`${what} ${why}`))).toBe(
        true,
      );
    }
  });

  it("a machine of which not every state was looked at: nor was it at other supply volts, which is said", () => {
    const machine = machineOf(textOf("electric-dryer"));
    const budget = 3;
    const engine = toEnd(makeExactEngine(buildCircuit(machine), { budget }));
    const missing: string[] = [];
    const short = (changed: Machine) => engineForChanged(engine, changed, { budget });
    toEnd(runChecks(engine, { phase: "later", analyse: short, looked: (_, cut) => missing.push(...cut) }));
    expect(missing).toContainEqual(expect.stringMatching(/^with the supply at its lower limit: /));
    expect(missing).toContainEqual(expect.stringMatching(/^with 120\/208 V/));
  });

  it("a machine of which not every state was looked at: welds are said not to have been looked at", () => {
    const machine = machineOf(textOf("electric-dryer"));
    const engine = toEnd(makeExactEngine(buildCircuit(machine), { budget: 3 }));
    expect(engine.covered().complete).toBe(false);
    const missing: string[] = [];
    toEnd(runChecks(engine, { phase: "later", analyse, looked: (_, cut) => missing.push(...cut) }));
    expect(missing).toContainEqual(expect.stringMatching(/^one contact welded: not looked at/));
    expect(missing).toContainEqual(expect.stringMatching(/^faults to the case: not in every state/));
  });
});
