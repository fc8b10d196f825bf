/** The machine that is measured is the one that is promised, and stays the same. */
import { expect, test } from "vitest";
import { engineOf } from "../states/run.ts";
import { generatedMachine } from "./generated-machine.ts";

const SEEDS = [1, 2, 3, 4, 5, 6, 7];

test("the same seed and size give the same machine", () => {
  const one = generatedMachine({ seed: 3, devices: 40 });
  const again = generatedMachine({ seed: 3, devices: 40 });
  expect(again.text).toBe(one.text);
  expect(again.machine).toEqual(one.machine);
  expect(generatedMachine({ seed: 4, devices: 40 }).text).not.toBe(one.text);
});

test.each(SEEDS)("seed %i of 40 devices is what the comparison asks for", (seed) => {
  const { text, machine } = generatedMachine({ seed, devices: 40 });
  const inputs = machine.controls.filter(({ settled }) => !settled);
  const devices = inputs.filter(({ name }) => /^D\d/.test(name));
  expect(devices).toHaveLength(40);
  expect(devices.every(({ positions }) => positions.length === 2)).toBe(true);
  expect(inputs.filter(({ role }) => role === "selector").map(({ positions }) => positions.length)).toEqual([4, 4, 4]);
  expect(machine.controls.filter(({ settled }) => settled).map(({ name }) => name)).toEqual(["K", "DM"]);

  const timer = machine.controls.find(({ role }) => role === "timer")!;
  const rows = machine.contacts.filter(({ closed }) => closed[0]?.[0]?.control === timer.id);
  expect([timer.positions.length, rows.length]).toEqual([60, 16]);
  const columns = new Set(
    timer.positions.map((_, step) => rows.map(({ closed }) => closed[0]![0]!.positions[step]).join("")),
  );
  expect(Math.abs(columns.size - 56)).toBeLessThanOrEqual(2);

  const nominal = machine.controls.reduce((product, { positions }) => product * positions.length, 1);
  expect(nominal).toBeGreaterThan(1e15);
  const loads = machine.loads.filter(({ name }) => /^[HVL]L\d/.test(name));
  expect(loads.length).toBeGreaterThanOrEqual(25);
  expect(loads.length).toBeLessThanOrEqual(30);
  // Behind the neutral-side switch: every wire that ends in NS but the switch's own.
  const behind = text.match(/ to NS$/gm)!.length - 1;
  expect(Math.abs(behind / loads.length - 0.15)).toBeLessThan(0.05);
  expect(text.match(/^wire D\d+\.2 to D\d+ to D\d+\.2$/gm)).toHaveLength(3);
  expect(text).toMatch(/to VL\d+ to LL\d+ to N$/m);
});

test("machines of every size stand still and work as far as a plain walk gets", () => {
  for (const devices of [10, 30, 60]) {
    const engine = engineOf(generatedMachine({ seed: 1, devices }).machine, { budget: 1500 });
    expect(engine.covered().complete).toBe(false);
    expect(engine.isEmpty(engine.shorted())).toBe(true);
    const working = engine.circuit.machine.loads.filter(
      ({ id }) => !engine.isEmpty(engine.when(id, ["works", "over"])),
    );
    expect(working.length).toBeGreaterThan(engine.circuit.machine.loads.length / 2);
  }
});
