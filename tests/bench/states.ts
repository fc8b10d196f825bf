/** Speed of the exact engine: generated machines, cold and after one edit, its growth, and against plain enumeration. */
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Coverage, Engine } from "../../server/states/engine.ts";
import { EngineMemory, makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { generatedMachine } from "./generated-machine.ts";

export interface AnalysisTiming {
  readonly total: number;
  /** Milliseconds of each part. */
  readonly parts: Readonly<Record<string, number>>;
  readonly coverage: Coverage;
  /** Extremes that the budget left open. */
  readonly open: number;
}

/** Everything the checks ask of every machine: classes, closed contacts, protection, worst carry, make and break of each contact. */
export function analyse(machine: Machine, memory = new EngineMemory()): AnalysisTiming {
  const parts: Record<string, number> = {};
  let last = performance.now();
  const begin = last;
  const lap = (name: string): void => {
    const now = performance.now();
    parts[name] = now - last;
    last = now;
  };
  const run = makeExactEngine(buildCircuit(machine), { memory });
  let step = run.next();
  while (!step.done) step = run.next();
  const engine: Engine = step.value;
  lap("loads and reach");
  let open = 0;
  const all = engine.all();
  for (const load of machine.loads) {
    engine.count(engine.when(load.id, ["works", "over"]));
    engine.witness(engine.when(load.id, ["weak"]));
    if (!engine.extreme({ of: "load-volts", load: load.id }, all).exact) open++;
  }
  lap("classes");
  for (const load of machine.loads)
    if (load.kind === "heater" || load.kind === "winding")
      for (const contact of machine.contacts)
        if (/^D\d+$/.test(contact.name)) engine.isEmpty(engine.inSeries(contact.id, load.id));
  lap("protection");
  for (const of of ["carries", "makes", "breaks", "breaks-volts"] as const) {
    for (const contact of machine.contacts) if (!engine.extreme({ of, contact: contact.id }, all).exact) open++;
    lap(of);
  }
  const coverage = engine.covered();
  lap("coverage");
  return { total: performance.now() - begin, parts, coverage, open };
}

export function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

export { generatedMachine };
