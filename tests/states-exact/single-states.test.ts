/**
 * What loads get in single states, read off what the engine keeps of them, against the solver of one state, which knows nothing of that. No
 * published source: the solver itself is held to worked examples in tests/circuit.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { solveState, wattsTaken } from "../../server/circuit/solve.ts";
import { type Edit, edit } from "../../server/machine/edit.ts";
import type { Machine, MachineState } from "../../server/machine/machine.ts";
import { EngineMemory } from "../../server/states/exact/exact-engine.ts";
import { buildMachine } from "../support/build-machine.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { compareExtremes, everyState, exactEngine, plainEngine } from "./compare.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 150);
const SEED = process.env.SEED === undefined ? {} : { seed: Number(process.env.SEED) };

/** How many were told and how many were left to the solver. */
const count = { told: 0, left: 0 };

function compare(machine: Machine, states: readonly MachineState[], memory: EngineMemory): void {
  const engine = exactEngine(machine, { memory });
  const watts = engine.wattsIn!(states);
  // What a load gets at most and least is kept by what the load is, not by what stands near it.
  const plain = plainEngine(machine);
  compareExtremes(plain, engine, [plain.all(), engine.all()]);
  const near = (one: number, other: number) => Math.abs(one - other) <= 1e-9 * (1 + Math.abs(other));
  states.forEach((state, at) => {
    const solution = solveState(engine.circuit, state);
    if (!Number.isNaN(watts[at]!)) {
      count.told++;
      expect(near(watts[at]!, wattsTaken(engine.circuit, state)), `watts in ${[...state]}`).toBe(true);
    } else count.left++;
    for (const { id, name } of machine.loads) {
      const told = engine.voltsIn!(id, state);
      if (!told) continue;
      const { re, im } = solution.loadVolts;
      expect(near(told.re, re[id]!) && near(told.im, im[id]!), `${name} in ${[...state]}`).toBe(true);
    }
  });
}

/** Others in ohms, in what is closed when, in volts; all of them in the same states. */
function changesOf(machine: Machine): Machine[] {
  const changes: Machine[] = [
    { ...machine, loads: machine.loads.map((load, at) => (at === 0 ? doubled(load) : load)) },
  ];
  const edits: Edit[] = [{ edit: "scale-supply", by: 0.5 }];
  if (machine.contacts[0]) edits.push({ edit: "change-contact", contact: 0, closed: [[]] });
  return [...changes, ...edits.map((one) => edit(machine, [one]))];
}

const doubled = <L extends Machine["loads"][number]>(load: L): L => ({
  ...load,
  impedance: load.impedance.map((z) => z && { re: 2 * z.re, im: 2 * z.im }),
});

test("watts and volts of every state are the solver's, also after edits and with the list of states kept", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      const memory = new EngineMemory();
      const states = everyState(machine);
      for (const one of [machine, ...changesOf(machine), machine]) {
        try {
          compare(one, states, memory);
        } catch (error) {
          throw new Error(`${(error as Error).message}\n${describeMachine(one)}`);
        }
      }
    }),
    { numRuns: RUNS, ...SEED },
  );
  // Shorted states are the solver's, most others are not.
  expect(count.told).toBeGreaterThan(count.left);
}, 600_000);

test("the same list means other states to a machine whose controls stand in another order", () => {
  const machine = (controls: Record<string, string[]>): Machine =>
    buildMachine({
      legs: { L: 120, N: 0 },
      controls,
      contacts: [{ name: "S", a: "L", b: "x", closed: "S on" }],
      loads: [{ name: "H", a: "x", b: "N", z: 100 }],
    });
  const memory = new EngineMemory();
  const first = machine({ S: ["off", "on"], T: ["off", "on"] });
  const second = machine({ T: ["off", "on"], S: ["off", "on"] });
  const states = everyState(first);
  compare(first, states, memory);
  compare(second, states, memory);
  expect([...exactEngine(second, { memory }).wattsIn!(states)].filter((watts) => watts > 0)).toEqual([144, 144]);
});
