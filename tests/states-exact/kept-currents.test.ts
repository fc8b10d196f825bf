/**
 * A contact's current is found again after an edit that does not reach it, and never after one that does. The answers are those of a fresh
 * engine; there is no published source for this.
 */
import { expect, test } from "vitest";
import { toEnd } from "../../server/base/to-end.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Engine, Quantity } from "../../server/states/engine.ts";
import {
  EngineMemory,
  type ExactOptions,
  makeExactEngine,
  movedEngine,
} from "../../server/states/exact/exact-engine.ts";
import { buildMachine } from "../support/build-machine.ts";

const controls = { S: ["off", "on"], T: ["off", "on"] };

/** S feeds XH in series with ZH; T feeds UH alone. */
const series = buildMachine({
  legs: { L: 120, N: 0 },
  controls,
  contacts: [
    { name: "S", a: "L", b: "x", closed: "S on" },
    { name: "T", a: "L", b: "u", closed: "T on" },
  ],
  loads: [
    { name: "XH", a: "x", b: "z", z: 100 },
    { name: "ZH", a: "z", b: "N", z: 50, inrush: { re: 50, im: 0 }, ratedVolts: 40 },
    { name: "UH", a: "u", b: "N", z: 30 },
  ],
});

function engineOf(machine: Machine, options: ExactOptions = {}): Engine {
  return toEnd(makeExactEngine(buildCircuit(machine), options));
}

function amps(engine: Engine, of: "carries" | "makes" | "breaks", contact: number): number | undefined {
  const quantity: Quantity = { of, contact };
  const { largest, exact } = engine.extreme(quantity, engine.all());
  expect(exact).toBe(true);
  return largest?.value;
}

const edits: readonly [what: string, edit: (machine: Machine) => Machine][] = [
  ["nothing", (machine) => machine],
  ["what another load draws as it starts", (m) => withLoad(m, 1, { inrush: { re: 5, im: 0 } })],
  ["what another load draws", (m) => withLoad(m, 1, { impedance: [{ re: 80, im: 0 }] })],
  ["a load elsewhere", (m) => withLoad(m, 2, { impedance: [{ re: 10, im: 0 }] })],
  ["the volts of a load that starts", (m) => withLoad(m, 1, { ratedVolts: 4000 })],
  ["that a load alone on its contact starts", (m) => withLoad(m, 2, { inrush: { re: 3, im: 0 } })],
  ["what a load alone on its contact draws as it starts", (m) => withLoad(m, 2, { inrush: { re: 2, im: 0 } })],
];

function withLoad(machine: Machine, id: number, change: Partial<Machine["loads"][number]>): Machine {
  return { ...machine, loads: machine.loads.map((load) => (load.id === id ? { ...load, ...change } : load)) };
}

test("after each edit the currents are those of a fresh engine", () => {
  const memory = new EngineMemory();
  let machine = series;
  for (const [what, edit] of [...edits, ...edits]) {
    machine = edit(machine);
    const [kept, fresh] = [engineOf(machine, { memory }), engineOf(machine)];
    for (const of of ["carries", "makes", "breaks"] as const)
      for (const { id: contact } of machine.contacts) {
        expect(kept.atMost!({ of, contact }), `${what}: ${of} ${contact} at most`).toBe(fresh.atMost!({ of, contact }));
        expect(amps(kept, of, contact), `${what}: ${of} ${contact}`).toBe(amps(fresh, of, contact));
      }
  }
});

test("the state told shows the amps told when ohms go to another position of a control", () => {
  const memory = new EngineMemory();
  const positions = (...z: number[]): Machine =>
    buildMachine({
      legs: { L: 120, N: 0 },
      controls: { ...controls, V: ["low", "middle", "high"] },
      contacts: [{ name: "T", a: "L", b: "u", closed: "T on" }],
      loads: [{ name: "VH", a: "u", b: "N", z, by: "V" }],
    });
  for (const machine of [positions(10, 20, 10), positions(10, 10, 20), positions(10, 20, 10), positions(20, 10, 10)]) {
    const engine = engineOf(machine, { memory });
    for (const of of ["carries", "makes", "breaks"] as const) {
      const supplyOn = engine.where([[{ control: machine.supply.control, positions: Uint8Array.of(1, 0) }]]);
      const { smallest, largest } = engine.extreme({ of, contact: 0 }, supplyOn);
      expect([smallest?.value, largest?.value], of).toEqual([6, 12]);
      for (const found of [smallest!, largest!]) {
        const { re } = engine.solve(of === "breaks" ? found.before! : found.state).contactAmps;
        expect(re[0], of).toBeCloseTo(found.value);
      }
    }
  }
});

test("a current that an edit does not reach is the very answer of before", () => {
  const memory = new EngineMemory();
  const before = engineOf(series, { memory });
  const was = before.extreme({ of: "carries", contact: 1 }, before.all());
  const after = engineOf(withLoad(series, 0, { impedance: [{ re: 20, im: 0 }] }), { memory });
  expect(after.extreme({ of: "carries", contact: 1 }, after.all())).toBe(was);
  expect(amps(after, "carries", 0)).toBeCloseTo(120 / 70);
});

test("what is told as the most is never exceeded, and bounded where loads upset each other as they start", () => {
  const engine = engineOf(withLoad(series, 1, { inrush: { re: 5, im: 0 } }));
  for (const of of ["carries", "makes", "breaks"] as const)
    for (const contact of [0, 1]) {
      const most = engine.atMost!({ of, contact });
      expect(most).toBeGreaterThanOrEqual(amps(engine, of, contact)!);
      expect(most).toBeLessThan(50);
    }
});

test("an engine for a circuit of its own shares everything else", () => {
  const engine = engineOf(series);
  engine.pathTo(engine.witness(engine.all())!);
  const moved = movedEngine(engine, { ...engine.circuit })!;
  expect(moved.circuit).not.toBe(engine.circuit);
  expect({ ...moved, circuit: engine.circuit }).toEqual({ ...engine });
  for (const [name, value] of Object.entries(engine))
    if (name !== "circuit") expect(Reflect.get(moved, name)).toBe(value);
});
