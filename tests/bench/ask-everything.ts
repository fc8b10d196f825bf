/** Every question that the checks ask of every machine, put to an engine: what the benchmarks of engines time. */
import { toEnd } from "../../server/base/to-end.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Coverage, Engine, EngineRun, Extremes, Quantity } from "../../server/states/engine.ts";
import { EngineMemory, makeExactEngine } from "../../server/states/exact/exact-engine.ts";

export interface Asked {
  readonly total: number;
  /** Milliseconds of each part. */
  readonly parts: Readonly<Record<string, number>>;
  readonly coverage: Coverage;
  /** Extremes that the budget left open, in words, with what was found and the bound. */
  readonly open: readonly string[];
  /** Every number told, in a fixed order: two engines must tell the same ones. */
  readonly told: readonly number[];
}

/** Classes, closed contacts, protection, worst volts of each load, worst carry, make and break of each contact. */
export function askEverything(machine: Machine, start: () => EngineRun): Asked {
  const parts: Record<string, number> = {};
  const begin = performance.now();
  let last = begin;
  const lap = (name: string): void => {
    const now = performance.now();
    parts[name] = now - last;
    last = now;
  };
  const engine: Engine = toEnd(start());
  lap("loads and reach");
  const open: string[] = [];
  const told: number[] = [];
  const all = engine.all();
  const worst = (quantity: Quantity, name: string): void => {
    const found = engine.extreme(quantity, all);
    told.push(found.smallest?.value ?? -1, found.largest?.value ?? -1);
    if (!found.exact) open.push(`${quantity.of} ${name} ${between(found)}`);
  };
  for (const load of machine.loads) {
    told.push(engine.count(engine.when(load.id, ["works", "over"])));
    engine.witness(engine.when(load.id, ["weak"]));
    worst({ of: "load-volts", load: load.id }, load.name);
  }
  lap("classes");
  for (const load of machine.loads)
    if (load.kind === "heater" || load.kind === "winding")
      for (const contact of machine.contacts)
        if (/^D\d+$/.test(contact.name)) told.push(engine.isEmpty(engine.inSeries(contact.id, load.id)) ? 0 : 1);
  lap("protection");
  for (const of of ["carries", "makes", "breaks", "breaks-volts"] as const) {
    for (const contact of machine.contacts) worst({ of, contact: contact.id }, contact.name);
    lap(of);
  }
  const coverage = engine.covered();
  lap("coverage");
  return { total: performance.now() - begin, parts, coverage, open, told };
}

export function askExact(machine: Machine, memory = new EngineMemory()): Asked {
  return askEverything(machine, () => makeExactEngine(buildCircuit(machine), { memory }));
}

/** The machine with another heater in one place: what typing a digit does. */
export function edited(machine: Machine, times: number): Machine {
  const heater = machine.loads.find(({ kind }) => kind === "heater") ?? machine.loads[0]!;
  const loads = machine.loads.map((load) =>
    load === heater ? { ...load, impedance: load.impedance.map((z) => z && { re: z.re * times, im: z.im }) } : load,
  );
  return { ...machine, loads };
}

function between({ largest, bound }: Extremes): string {
  const short = (value: number): string =>
    value === Infinity ? "no bound" : value.toPrecision(4).replace(/\.?0+$/, "");
  return `(found ${short(largest?.value ?? 0)}, at most ${short(bound ?? Infinity)})`;
}
