/** How long a text takes from the keystroke to its findings, step by step, and a hover. */
import { parse } from "../../grammar/parse.ts";
import { hover } from "../../server/editor/hover.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";
import type { Source } from "../../server/workspace/pipeline.ts";
import type { Phase } from "../../server/workspace/snapshot.ts";
import { makeStandardPipeline } from "../../server/workspace/standard-pipeline.ts";
import { median } from "./states.ts";
import { type BenchText, middleHeater } from "./texts.ts";

/** Milliseconds, medians. */
export interface LanguageTiming {
  readonly parse: number;
  readonly names: number;
  /** Every state and every check of a text never seen before. */
  readonly whole: number;
  /** The longest time between two pauses in which messages can be answered. */
  readonly longestJob: number;
  /** From a changed digit to each phase, the file open and analysed before. */
  readonly keystroke: Readonly<Record<Exclude<Phase, "text">, number>>;
  readonly hover: number;
  readonly findings: number;
  readonly notCovered: number;
}

const file = "bench.camleaf";

/** Runs a step by step; the longest step and the result. */
function timeJobs<T>(run: Generator<void, T>): { value: T; longest: number } {
  let longest = 0;
  for (;;) {
    const begin = performance.now();
    const step = run.next();
    longest = Math.max(longest, performance.now() - begin);
    if (step.done) return { value: step.value, longest };
  }
}

function timeOnce(text: string): Omit<LanguageTiming, "keystroke" | "hover"> {
  const pipeline = makeStandardPipeline(); // remembers nothing yet
  const begin = performance.now();
  const tree = parse(text);
  const parsed = performance.now();
  const source: Source = { file, tree, used: () => ({ missing: "not-found" }) };
  const named = pipeline.name(source);
  const resolved = performance.now();
  const main = timeJobs(pipeline.analyse(source, named));
  const later = timeJobs(pipeline.later(source, main.value));
  return {
    parse: parsed - begin,
    names: resolved - parsed,
    whole: performance.now() - begin,
    longestJob: Math.max(main.longest, later.longest),
    findings: named.findings.length + main.value.findings.length + later.value.findings.length,
    notCovered: main.value.missing.length,
  };
}

/** @param runs how often; the first run of all, which warms the code up, is left out when there are more. */
export async function benchLanguage({ text }: BenchText, runs: number): Promise<LanguageTiming> {
  const cold = Array.from({ length: runs }, () => timeOnce(text)).slice(runs > 1 ? 1 : 0);
  const of = (read: (timing: (typeof cold)[number]) => number): number => median(cold.map(read));

  const service = new Service(nodePlatform);
  service.put(file, 1, text);
  await service.analysed(file);
  const { from, to } = middleHeater(text);
  const keystrokes: Record<Exclude<Phase, "text">, number>[] = [];
  let edited = text;
  for (let run = 1; run <= runs; run++) {
    edited = `${text.slice(0, from)}${Number(text.slice(from, to)) + run}${text.slice(to)}`;
    const begin = performance.now();
    const until = async (phase: Phase): Promise<number> => {
      await service.workspace.reached(phase, file);
      return performance.now() - begin;
    };
    service.put(file, 1 + run, edited);
    keystrokes.push({ names: await until("names"), states: await until("states"), all: await until("all") });
  }
  const key = (phase: Exclude<Phase, "text">): number => median(keystrokes.map((timing) => timing[phase]));

  const places = [...edited.matchAll(/\b(?:TM|DM|K|HL?\d|D\d)\b/g)].map((match) => match.index);
  const snapshot = (await service.analysed(file))!;
  const hovers: number[] = [];
  for (let index = 0; index < 40; index++) {
    const offset = places[Math.floor((index * places.length) / 40)];
    if (offset === undefined) continue;
    const begin = performance.now();
    hover(snapshot, offset);
    hovers.push(performance.now() - begin);
  }
  service.close(file);

  return {
    parse: of((timing) => timing.parse),
    names: of((timing) => timing.names),
    whole: of((timing) => timing.whole),
    longestJob: of((timing) => timing.longestJob),
    keystroke: { names: key("names"), states: key("states"), all: key("all") },
    hover: median(hovers),
    findings: cold[0]!.findings,
    notCovered: cold[0]!.notCovered,
  };
}
