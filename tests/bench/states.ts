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

const SEEDS = [1, 2, 3, 4, 5, 6, 7];

/** The best of a few fresh runs, so that other work on the computer counts little; nothing is kept between them. */
function coldRun(machine: Machine, runs = 3): AnalysisTiming {
  let best: AnalysisTiming | undefined;
  for (let run = 0; run < runs; run++) {
    const timing = analyse(machine);
    if (best === undefined || timing.total < best.total) best = timing;
  }
  return best!;
}

/** The machine with another heater in one place: what typing a digit does. */
function edited(machine: Machine, times: number): Machine {
  const heater = machine.loads.find(({ kind }) => kind === "heater")!;
  const loads = machine.loads.map((load) =>
    load === heater ? { ...load, impedance: load.impedance.map((z) => z && { re: z.re * times, im: z.im }) } : load,
  );
  return { ...machine, loads };
}

function warmRun(machine: Machine): AnalysisTiming {
  const memory = new EngineMemory();
  analyse(machine, memory);
  let best = analyse(edited(machine, 1.01), memory);
  for (const times of [1.02, 1.03]) {
    const timing = analyse(edited(machine, times), memory);
    if (timing.total < best.total) best = timing;
  }
  return best;
}

/** Prints the story of the exact engine. Takes half a minute. */
export function benchStates(print: (line: string) => void = console.log): void {
  const ms = (value: number): string => `${value.toFixed(value < 10 ? 1 : 0)} ms`;
  print("Every state, generated machines (60-step timer, three four-position selectors, relay, motor), seven seeds:");
  for (const devices of [10, 20, 30, 40, 50, 60]) {
    const cold: number[] = [];
    const warm: number[] = [];
    let open = 0;
    let missing = 0;
    let nominal = 0;
    for (const seed of SEEDS) {
      const { machine } = generatedMachine({ seed, devices });
      const timing = coldRun(machine, devices > 40 ? 1 : 3);
      cold.push(timing.total);
      open += timing.open;
      missing += timing.coverage.missing.length;
      nominal = timing.coverage.nominal;
      if (devices <= 40) warm.push(warmRun(machine).total);
    }
    const edit = warm.length > 0 ? `; after one edit ${ms(median(warm))}, maximum ${ms(Math.max(...warm))}` : "";
    print(
      `  ${devices} devices (${nominal.toExponential(1)} states): median ${ms(median(cold))}, maximum ${ms(Math.max(...cold))}${edit}; ` +
        `extremes told as a bound only ${open}, loads not told apart ${missing}`,
    );
  }
}

/** Milliseconds of plain enumeration (the oracle) and of the exact engine on a machine that both finish. */
export function benchAgainstPlain(
  machine: Machine,
  plain: (machine: Machine) => void,
): { plain: number; exact: number } {
  const exact = coldRun(machine, 5).total;
  const begin = performance.now();
  plain(machine);
  return { plain: performance.now() - begin, exact };
}
