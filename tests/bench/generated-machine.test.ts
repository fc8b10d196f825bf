/** The machine that is measured is the one that is promised, and stays the same. */
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import { type Machine, resolveFile } from "../../server/machine/index.ts";
import type { Engine } from "../../server/states/engine.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
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

/** The machine that a text means, with what the parser and the names have to say about it. */
function read(text: string): { machine: Machine; ids: string[] } {
  const tree = parse(text);
  expect(tree.errors).toEqual([]);
  const { machines, findings } = resolveFile(new Map([["bench.camleaf", tree]]), "bench.camleaf");
  expect(machines).toHaveLength(1);
  return { machine: machines[0]!, ids: [...findings, ...machines[0]!.findings].map(({ id }) => id) };
}

function exactEngineOf(machine: Machine): Engine {
  const run = makeExactEngine(buildCircuit(machine));
  let step = run.next();
  while (!step.done) step = run.next();
  return step.value;
}

test.each([10, 20, 30, 40, 50, 60])("text and data structure of %i devices are the same machine", (devices) => {
  for (const seed of SEEDS) {
    const { text, machine } = generatedMachine({ seed, devices });
    const fromText = read(text);
    // Small machines have more selector contacts than loads to feed.
    expect(fromText.ids.filter((id) => devices >= 30 || id !== "unused-part")).toEqual([]);
    expect(fromText.machine.loads.map(({ name }) => name)).toEqual(machine.loads.map(({ name }) => name));
    expect(fromText.machine.contacts).toHaveLength(machine.contacts.length);
    expect(fromText.machine.controls).toHaveLength(machine.controls.length);
  }
});

test("and every load but lamps works in as many states of the one as of the other", () => {
  for (const { seed, devices } of [
    { seed: 1, devices: 10 },
    { seed: 2, devices: 30 },
    { seed: 3, devices: 40 },
  ]) {
    const { text, machine } = generatedMachine({ seed, devices });
    const [one, other] = [exactEngineOf(read(text).machine), exactEngineOf(machine)];
    const works = (engine: Engine): number[] =>
      engine.circuit.machine.loads
        .filter(({ kind }) => kind !== "lamp") // the language asks more volts of a lamp than the writer of test machines
        .map(({ id }) => engine.count(engine.when(id, ["works", "over"])) / engine.count(engine.all()));
    const [shares, others] = [works(one), works(other)];
    for (const [index, share] of shares.entries()) expect(share).toBeCloseTo(others[index]!, 12);
    expect(Math.max(...shares)).toBeGreaterThan(0);
  }
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
