/** Random machines on the bench: nothing throws, odds are odds, and a fault put in is not ruled out by its own exact readings. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Observation } from "../../server/meter/case.ts";
import { diagnoseWith, faultsOf } from "../../server/meter/diagnose.ts";
import { Predictor, type Reading } from "../../server/meter/reading.ts";
import { situationOf } from "../../server/meter/situation.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { toEnd } from "../checks/analysed.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";

const place = { file: "", from: 0, to: 0 };

function readingsOf(machine: Machine): Reading[] {
  const neutral = machine.supply.legs.at(-1)!.terminal;
  return [
    ...machine.loads.slice(0, 3).flatMap(({ id, a, b }): Reading[] => [
      { of: "volts", a, b: neutral, situation: 0 },
      { of: "ohms", a, b, lifted: [a], situation: 0 },
      { of: "amps", loads: [id], situation: 0 },
    ]),
    ...machine.contacts.slice(0, 3).map(({ a, b }): Reading => ({ of: "ohms", a, b, lifted: [], situation: 0 })),
  ];
}

test("exact readings of a fault never contradict it, and odds are odds", () => {
  let judged = 0;
  fc.assert(
    fc.property(randomMachines(SMALL), fc.nat(1000), (machine, pick) => {
      const engine = toEnd(makeExactEngine(buildCircuit(machine)));
      const situation = situationOf(engine, [[]]);
      if (!situation) return;
      const faults = faultsOf(engine);
      const fault = faults[pick % faults.length]!;
      const predictor = new Predictor(engine.circuit, [situation]);
      const look = fault.looks[0]!;
      const observations = readingsOf(machine).flatMap((reading): Observation[] => {
        const { value } = predictor.predict(look, fault.standsStill ?? false, reading);
        return value === undefined ? [] : [{ reading, value, place, text: "" }];
      });
      const { ranking, groups, plans } = diagnoseWith(predictor, faults, observations);
      const sum = ranking.suspects.reduce((all, { probability }) => all + probability, 0);
      expect(sum).toBeCloseTo(1, 6);
      for (const { probability } of groups) expect(probability).toBeGreaterThanOrEqual(0);
      for (const { gain, candidate } of plans) expect([gain > 0, candidate.cost > 0]).toEqual([true, true]);
      const own = ranking.suspects.find(({ faults: [only, second] }) => only === fault && !second)!;
      // Nothing that was read contradicts it.
      expect(own.fits.every((fit) => !(fit < 0.05))).toBe(true);
      judged++;
    }),
    { numRuns: 30, seed: 7 },
  );
  expect(judged).toBeGreaterThan(20);
});
