/** Engines for machines whose supply has other volts or lost a leg, made from the engine of the machine as it is, against the plain walk. */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { type Edit, edit } from "../../server/machine/edit.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { EngineMemory, engineForChanged } from "../../server/states/exact/exact-engine.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { CLASSES, compareExtremes, compareRegions, everyState, exactEngine, finish, plainEngine } from "./compare.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 60);
const SEED = process.env.SEED === undefined ? {} : { seed: Number(process.env.SEED) };

/** Scaled, one leg turned, one lost, two at the same volts. */
function changesOf({ supply: { legs } }: Machine): Edit[][] {
  const turned = ({ terminal, volts: { re, im } }: (typeof legs)[number]): Edit[] => [
    { edit: "change-leg", terminal, volts: { re: re * -0.5 - im, im: re * 0.8 } },
  ];
  const liveBeside = (lost: (typeof legs)[number]): boolean =>
    legs.some((leg) => leg !== lost && Math.hypot(leg.volts.re, leg.volts.im) > 1);
  return [
    [{ edit: "scale-supply", by: 0.88 }],
    [{ edit: "scale-supply", by: 1.1 }],
    ...legs.map(turned),
    ...legs.filter((leg) => liveBeside(leg)).map(({ terminal }): Edit[] => [{ edit: "lose-leg", terminal }]),
    ...(legs.length > 2 ? [[{ edit: "change-leg", terminal: legs[0]!.terminal, volts: legs[1]!.volts } as const]] : []),
  ];
}

test("every field equals the plain walk's, whatever the legs are", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      const memory = new EngineMemory();
      const exact = exactEngine(machine, { memory });
      for (const changes of changesOf(machine)) {
        const changed = edit(machine, changes);
        try {
          const plain = plainEngine(changed);
          const other = finish(engineForChanged(exact, changed, { memory }));
          compareRegions(plain, other, everyState(changed));
          compareExtremes(plain, other, [plain.all(), other.all()]);
        } catch (error) {
          throw new Error(`${JSON.stringify(changes)}: ${(error as Error).message}\n${describeMachine(machine)}`);
        }
      }
      // The engine that they were made from still answers for its own machine.
      compareRegions(plainEngine(machine), exact, everyState(machine));
    }),
    { numRuns: RUNS, ...SEED },
  );
}, 600_000);

test("a machine that is not the same but for its legs gets an engine of its own", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      const contact = machine.contacts[0];
      if (!contact) return;
      const welded = edit(machine, [{ edit: "change-contact", contact: contact.id, closed: [[]] }]);
      const other = finish(engineForChanged(exactEngine(machine), welded));
      expect(other.circuit.machine).toBe(welded);
      compareRegions(plainEngine(welded), other, everyState(welded));
    }),
    { numRuns: Math.ceil(RUNS / 5), ...SEED },
  );
});

test("what loads are at other volts is what the plain walk finds there, where it is told without an engine for them", () => {
  const told = { none: 0, some: 0 };
  let untold = 0;
  const memory = new EngineMemory();
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      const exact = exactEngine(machine, { memory });
      for (const changes of changesOf(machine)) {
        const changed = edit(machine, changes);
        const volts = changed.supply.legs.map((leg) => leg.volts);
        if (volts.length < machine.supply.legs.length) continue;
        const plain = plainEngine(changed);
        const states = everyState(changed);
        for (const { id, name } of machine.loads)
          for (const one of CLASSES) {
            const region = exact.whenAt!(id, [one], volts);
            if (region === undefined) untold++;
            else {
              const there = plain.when(id, [one]);
              if (plain.isEmpty(there)) told.none++;
              else told.some++;
              const differs = states.find((state) => plain.has(there, state) !== exact.has(region, state));
              if (differs)
                throw new Error(
                  `${JSON.stringify(changes)}: ${name} ${one} in ${differs}\n${describeMachine(machine)}`,
                );
            }
          }
      }
    }),
    { numRuns: 3 * RUNS, ...SEED },
  );
  // All three occur, else the check would say nothing.
  expect(Math.min(told.none, told.some, untold)).toBeGreaterThan(0);
}, 600_000);
