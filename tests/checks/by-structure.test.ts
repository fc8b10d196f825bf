/**
 * Checks that hang on the structure of a machine alone: they never read an amount, and what they find is the same whether it is kept or found anew,
 * whatever loads draw.
 */
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import type { CheckContext, Report } from "../../server/checks/check.ts";
import { checks } from "../../server/checks/registry.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Complex, Load, Machine, Part } from "../../server/machine/machine.ts";
import { LOAD_AMOUNTS, PART_AMOUNTS, shareStructure, structureOf } from "../../server/machine/structure.ts";
import type { Engine } from "../../server/states/engine.ts";
import { EngineMemory, makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { generatedMachine } from "../bench/generated-machine.ts";
import { MEDIUM, randomMachines, SMALL } from "../support/random-machine.ts";
import { machinesOf, toEnd } from "./analysed.ts";

const RUNS = Number(process.env.RUNS ?? 30);
const declared = checks.filter(({ hangsOn }) => hangsOn === "structure");
/** Asks whether a load is a wire, which is no amount, and solves a state for its shorts alone; it is compared below like the others. */
const LOOKS_AT_WIRES = new Set(["cams-bridge"]);

const sample = (name: string) => machinesOf(readFileSync(`samples/${name}.camleaf`, "utf8"))[0]!;
const ideas = ["series-load", "half-volts", "relay", "warmed", "half-wave", "neutral-side-switch"];
/** Of these some work or do not by what others draw, though none of them moves anything. */
const faults = `machine "Larkfield bench"
supply 120/240 V 60 Hz
switch S "start"
heater H 1500 W 240 V
valve V 120 V 40 mA
heater G 1000 W 120 V
lamp E 120 V 5 W
lamp F 120 V 5 W
wire L1 to S to H to V to N
wire L1 to E to N
wire L1 to G to F to N
`;
const machines = [
  ...["electric-dryer", "gas-burner", "fan-heater", ...ideas.map((name) => `ideas/${name}`)].map(sample),
  ...machinesOf(faults),
  ...[3, 4].flatMap((seed) => machinesOf(generatedMachine({ seed, devices: 8 }).text)),
];

/** The thing, with fields that nobody may read. */
function without<T extends object>(thing: T, fields: readonly (keyof T)[], isTold: () => boolean): T {
  const copy = { ...thing };
  for (const field of fields)
    Object.defineProperty(copy, field, {
      get: () => {
        if (!isTold()) throw new Error(`${String(field)} is an amount`);
        return thing[field];
      },
    });
  return copy;
}

const SETS: readonly (keyof Engine)[] = [
  ...(["all", "none", "when", "closed", "where", "shorted", "tied", "and", "or", "not", "moved", "isEmpty"] as const),
  ...(["positionsIn", "count", "has", "witness", "pathTo", "statement", "statementWithin"] as const),
  ...(["statementByInputs", "chatters", "covered", "noteAbout", "translated"] as const),
];

/** Reports of a check that may not look at amounts until it says so. */
function blindly(engine: Engine, check: (typeof checks)[number]): Report[] {
  let told = false;
  const isTold = () => told;
  const { circuit } = engine;
  const loads = circuit.machine.loads.map((load): Load => without(load, LOAD_AMOUNTS, isTold));
  const parts = circuit.machine.parts.map((part): Part => without(part, PART_AMOUNTS, isTold));
  const machine = { ...circuit.machine, loads, parts };
  const blind = new Proxy(engine, {
    get: (_, name) => {
      if (name === "circuit") return { ...circuit, machine };
      const isAsked = typeof name === "string" && !SETS.includes(name as keyof Engine);
      if (!told && isAsked) throw new Error(`${String(name)} tells of amounts`);
      const value: unknown = Reflect.get(engine, name, engine);
      return typeof value === "function" ? value.bind(engine) : value;
    },
  });
  const reports: Report[] = [];
  const context: CheckContext = {
    engine: blind,
    machine,
    looked: () => undefined,
    amountsDecide: () => {
      told = true;
    },
    report: (report) => reports.push(report),
  };
  toEnd(check.run(context));
  return reports;
}

function freely(engine: Engine, check: (typeof checks)[number]): Report[] {
  const reports: Report[] = [];
  const { machine } = engine.circuit;
  const nothing = () => undefined;
  toEnd(
    check.run({ engine, machine, looked: nothing, amountsDecide: nothing, report: (report) => reports.push(report) }),
  );
  return reports;
}

const engineOf = (machine: Machine, memory = new EngineMemory()) =>
  toEnd(makeExactEngine(buildCircuit(machine), { memory }));

function findsTheSameBlindly(machine: Machine): number {
  const engine = engineOf(machine);
  let found = 0;
  for (const check of declared) {
    if (LOOKS_AT_WIRES.has(check.id)) continue;
    const reports = freely(engine, check);
    expect(blindly(engineOf(machine), check), check.id).toEqual(reports);
    found += reports.length;
  }
  return found;
}

test("no check that hangs on structure reads an amount", () => {
  expect(declared.length).toBeGreaterThan(10);
  expect(machines.reduce((sum, machine) => sum + findsTheSameBlindly(machine), 0)).toBeGreaterThan(10);
});

test("nor on random machines", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      findsTheSameBlindly(machine);
    }),
    { numRuns: RUNS },
  );
});

const times = (z: Complex, by: number): Complex => ({ re: z.re * by, im: z.im * by });

/** The same machine with loads that draw otherwise. */
function drawing(machine: Machine, factors: readonly number[]): Machine {
  const loads = machine.loads.map((load, index): Load => {
    const by = factors[index % factors.length]!;
    const { impedance, inrush, ratedWatts, ratedAmps, ...others } = load;
    return {
      ...others,
      impedance: impedance.map((z) => z && times(z, by)),
      ...(inrush && { inrush: times(inrush, by) }),
      ...(ratedWatts !== undefined && { ratedWatts: ratedWatts / by }),
      ...(ratedAmps !== undefined && { ratedAmps: ratedAmps / by }),
    };
  });
  const changed = { ...machine, loads };
  shareStructure(changed, machine);
  return changed;
}

/** One after the other with all that is kept, and each as if nothing had been there before. How many of them find something else than the first. */
function keptIsFresh(machine: Machine, series: readonly (readonly number[])[]): number {
  const memory = new EngineMemory();
  const structure = structureOf(machine);
  let first: string | undefined;
  let others = 0;
  for (const factors of [[1], ...series]) {
    const changed = factors.length === 1 && factors[0] === 1 ? machine : drawing(machine, factors);
    expect(structureOf(changed)).toBe(structure);
    const now = toEnd(runChecks(engineOf(changed, memory), { structure, checks: declared }));
    const fresh = toEnd(runChecks(engineOf(changed), { checks: declared }));
    expect(now).toEqual(fresh);
    first ??= JSON.stringify(fresh);
    if (JSON.stringify(fresh) !== first) others++;
  }
  return others;
}

test("findings kept are those of a fresh look when loads draw otherwise, also where other loads work then", () => {
  const series = [[1.01], [0.02, 1, 50], [1], [50, 0.02], [300], [1]];
  const others = machines.map((machine) => keptIsFresh(machine, series));
  // A key without classes would not see these.
  expect(others.filter((count) => count > 0).length).toBeGreaterThan(2);
});

test("and so they are on random machines", () => {
  const factor = fc.constantFrom(0.01, 0.3, 1, 1.02, 4, 100);
  const series = fc.array(fc.array(factor, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 4 });
  fc.assert(
    fc.property(randomMachines(MEDIUM), series, (machine, all) => {
      keptIsFresh(machine, [...all, [1]]);
    }),
    { numRuns: RUNS },
  );
});
