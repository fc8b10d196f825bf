/** Benches with a fault put in: readings are suggested, the plain model answers, and the ranking must find the fault. */
import { readFileSync } from "node:fs";
import { parse } from "../../grammar/parse.ts";
import type { Tree } from "../../grammar/tree.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import { resolveCondition, resolveMachines, resolveUsePath, usedPaths } from "../../server/machine/index.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { candidatesFor } from "../../server/meter/candidates.ts";
import type { Observation } from "../../server/meter/case.ts";
import { diagnoseWith, faultsOf } from "../../server/meter/diagnose.ts";
import type { Fault } from "../../server/meter/faults.ts";
import type { ReadingPlan } from "../../server/meter/next-reading.ts";
import { Predictor, type Reading } from "../../server/meter/reading.ts";
import { type Situation, situationOf } from "../../server/meter/situation.ts";
import type { Engine } from "../../server/states/engine.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { drawn, PlainBench, type Random } from "./plain-bench.ts";

/** How a machine is tried out by the person who brings it in: the first in which something is not as it should be is the complaint. */
export const trials: Readonly<Record<string, readonly string[]>> = {
  "electric-dryer": [
    "TM in timed, DOOR shut, DM running, CT closed, HL closed",
    "TM in auto, DOOR shut, DM running, CT open, HL closed",
    "DOOR open",
  ],
  "top-loading-washer": [
    "LINE pulled, TM in fill, WL empty, TEMP warm",
    "LINE pulled, TM in wash, WL full",
    "LINE pulled, TM in spin, LID shut, WL empty",
    "LINE pulled, TM in wash, WL full, SPEED gentle",
  ],
  "gas-burner": ["HEAT on, AIR turning, CT closed, FS cold", "HEAT on, AIR turning, CT closed, FS hot"],
  "fan-heater": ["S1 high, S2 upright, B1 closed", "S1 fan, S2 upright", "S1 low, S2 upright, B1 closed"],
};

export interface Bench {
  readonly engine: Engine;
  readonly machine: Machine;
  readonly faults: readonly Fault[];
  /** One predictor for each way to try the machine out. */
  readonly trials: readonly {
    readonly situation: Situation;
    readonly predictor: Predictor;
    readonly looks: readonly Reading[];
  }[];
}

export function benchOf(sample: string): Bench {
  const files = new Map<string, Tree>();
  const read = (file: string): void => {
    if (files.has(file)) return;
    const tree = parse(readFileSync(file, "utf8"));
    files.set(file, tree);
    for (const path of usedPaths(tree)) read(resolveUsePath(file, path)!);
  };
  const file = `samples/${sample}.camleaf`;
  read(file);
  const machine = resolveMachines(files, file)[0]!;
  const run = makeExactEngine(buildCircuit(machine));
  let step = run.next();
  while (!step.done) step = run.next();
  const engine = step.value;
  return {
    engine,
    machine,
    faults: faultsOf(engine),
    trials: trials[sample]!.map((when) => {
      const tree = parse(`machine "x"\nexpect X off when ${when}\n`);
      const statement = tree.statements.find((one) => one.statement === "expect");
      const condition = resolveCondition(
        machine,
        statement!.statement === "expect" ? statement!.when! : (undefined as never),
      );
      const situation = situationOf(engine, condition)!;
      const looks = candidatesFor(engine.circuit, [situation], [])
        .map(({ reading }) => reading)
        .filter((reading) => reading.of === "symptom" && !reading.pressed);
      return { situation, predictor: new Predictor(engine.circuit, [situation]), looks };
    }),
  };
}

export type Strategy = "best" | "half-split" | "random";

export interface Outcome {
  /** False: nothing that a person could notice in any trial. */
  readonly noticed: boolean;
  readonly found: boolean;
  readonly readings: number;
  /** What they cost, weighed by effort and danger. */
  readonly effort: number;
  /** Faults named together as the answer. */
  readonly named: number;
  readonly log: readonly string[];
}

const mostReadings = 15;
const sureFrom = 0.985;

export function simulate(
  { machine, faults, trials: tried }: Bench,
  fault: Fault,
  strategy: Strategy,
  seed: number,
): Outcome {
  const random = randomFrom(seed);
  const bench = new PlainBench(machine, drawn(fault, random), random);
  const sound = new PlainBench(machine, { share: 0.5, ohms: 0 }, randomFrom(1));
  for (const { situation, predictor, looks } of tried) {
    const seen = (one: PlainBench, reading: Reading) => one.answer(reading, situation.inputs, situation.healthy);
    const odd = looks.some((reading) => seen(bench, reading) !== seen(sound, reading));
    if (!odd) continue;
    const observations: Observation[] = looks.map((reading) => observed(reading, seen(bench, reading)));
    const log: string[] = observations.map(({ text }) => text);
    let effort = 0;
    for (let readings = 0; ; readings++) {
      const { groups, plans } = diagnoseWith(predictor, faults, observations);
      const top = groups[0]!;
      const sure = top.probability >= sureFrom || plans.length === 0 || readings >= mostReadings;
      if (sure) {
        // Groups of equal odds share the first place.
        const tied = groups.filter(({ probability }) => probability >= top.probability * 0.999);
        const found = tied.some(({ suspects }) =>
          suspects.some((one) => one.faults.length === 1 && one.faults[0]!.id === fault.id),
        );
        return {
          noticed: true,
          found,
          readings,
          effort,
          named: tied.reduce((sum, { suspects }) => sum + suspects.length, 0),
          log: [
            ...log,
            `-> ${top.suspects.map((one) => one.faults.map(({ words }) => words).join(" + ")).join(" | ")} ${top.probability.toFixed(2)}`,
          ],
        };
      }
      const { reading, cost } = choose(plans, strategy, random).candidate;
      effort += cost;
      const next = observed(reading, seen(bench, reading));
      observations.push(next);
      log.push(next.text);
    }
  }
  return { noticed: false, found: false, readings: 0, effort: 0, named: 0, log: [] };
}

function observed(reading: Reading, answer: number | "off" | "hums" | "weak" | "works"): Observation {
  const place = { file: "", from: 0, to: 0 };
  if (typeof answer === "number")
    return {
      reading,
      value: answer,
      place,
      text: `${reading.of} ${"a" in reading ? `${reading.a} ${reading.b}` : ""} ${answer.toFixed(2)}`,
    };
  const odds = { off: 0.04, hums: 0.04, weak: 0.04, works: 0.04, [answer]: 0.95 };
  return {
    reading: { ...reading, odds } as Reading,
    value: 1,
    place,
    text: `${reading.of === "symptom" ? reading.subject.name : ""} ${answer}`,
  };
}

/** Half-split: the reading that divides the number of suspects most evenly, whatever their odds and its effort. */
function choose(plans: readonly ReadingPlan[], strategy: Strategy, random: Random): ReadingPlan {
  if (strategy === "best") return plans[0]!;
  if (strategy === "random") return plans[Math.floor(random() * plans.length)]!;
  const largest = ({ outcomes }: ReadingPlan) => Math.max(...outcomes.map(({ suspects }) => suspects.length));
  return plans.reduce((best, plan) => (largest(plan) < largest(best) ? plan : best));
}

export function randomFrom(seed: number): Random {
  let state = (seed * 2654435761 + 12345) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}

export interface Summary {
  readonly sample: string;
  readonly faults: number;
  readonly noticed: number;
  readonly found: number;
  readonly readings: number;
  readonly effort: number;
  /** Faults named together in an answer, on average. */
  readonly named: number;
  readonly missed: readonly string[];
}

export function simulateAll(sample: string, strategy: Strategy, every = 1): Summary {
  const bench = benchOf(sample);
  const missed: string[] = [];
  let [faults, noticed, found, readings, named, effort] = [0, 0, 0, 0, 0, 0];
  for (const fault of bench.faults) {
    if (fault.id % every !== 0) continue;
    faults++;
    const outcome = simulate(bench, fault, strategy, fault.id + 1);
    if (!outcome.noticed) continue;
    noticed++;
    readings += outcome.readings;
    named += outcome.named;
    effort += outcome.effort;
    if (outcome.found) found++;
    else missed.push(`${fault.words}: ${outcome.log.join("; ")}`);
  }
  return {
    sample,
    faults,
    noticed,
    found,
    readings: readings / Math.max(1, noticed),
    effort: effort / Math.max(1, noticed),
    named: named / Math.max(1, noticed),
    missed,
  };
}
