/** The same things asked of this service and of the yardsticks: keystroke to all problems, hover, completion, rename, format. */
import { formatTree } from "../../grammar/format.ts";
import { completion } from "../../server/editor/completion.ts";
import { hover } from "../../server/editor/hover.ts";
import { rename } from "../../server/editor/rename.ts";
import { type MachineView, machineAt } from "../../server/editor/view.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";
import { median } from "./states.ts";
import { middleHeater } from "./texts.ts";
import { type Yardstick, yardsticks } from "./yardsticks.ts";

const file = "bench.camleaf";

/** Milliseconds, medians; undefined for what the language has not. */
export interface Besides {
  readonly name: string;
  readonly lines: number;
  readonly keystroke: number;
  /** The first keystrokes after the text was opened, the code still little used. */
  readonly early: number;
  /** The state that hints, lenses, pictures and hovers speak of, which editors ask for by their hints after each keystroke. */
  readonly stateShown?: number;
  /** The first time after a keystroke, and once more at the same place. */
  readonly hover?: number;
  readonly hoverAgain?: number;
  readonly completion?: number;
  readonly rename?: number;
  readonly format?: number;
}

function own(text: string): Yardstick {
  const service = new Service(nodePlatform);
  let version = 0;
  const put = async (now: string) => {
    if (service.textOf(file) !== now) service.put(file, ++version, now);
    return (await service.analysed(file))!;
  };
  const shown = (machine: MachineView) => service.chosen.stateOf(file, machine);
  const { from, to } = middleHeater(text);
  const watts = Number(text.slice(from, to));
  return {
    name: "Camleaf",
    text,
    // A heater somewhat larger: one more digit would make it ten times as large, and a machine that breaks every limit. Every other
    // time the text grows, so that all behind it moves.
    typed: (run) => `${text.slice(0, from)}${watts + run}${run % 2 === 0 ? ".5" : ""}${text.slice(to)}`,
    askAt: text.lastIndexOf("\nheater ", to) + 8,
    completeAt: text.indexOf(" to ", text.indexOf("\nwire ", to)) + 4,
    check: async (now) => (await put(now)).findings.length,
    showState: async (now, at) => shown(machineAt(await put(now), at)!),
    hover: async (now, at) => hover(await put(now), at, shown),
    completion: async (now, at) => completion(await put(now), at),
    rename: async (now, at) => rename(await put(now), at, "NEWNAME"),
    format: async (now) => formatTree((await put(now)).tree),
  };
}

/** Keystrokes of one language at most, and how long they may take; but never fewer than asked for. */
const mostRuns = 240;
const patience = 12_000;
const earlyRuns = 5;

/**
 * After each of many keystrokes, never the same text twice. Of the very first, which loads code, nothing is told; of the next few only
 * the keystroke. The medians are those of the second half: people type for hours, so code that is warm is what they meet.
 */
async function measure(stick: Yardstick, atLeast: number): Promise<Besides> {
  const times = {
    keystroke: [],
    stateShown: [],
    hover: [],
    hoverAgain: [],
    completion: [],
    rename: [],
    format: [],
  } as Record<Exclude<keyof Besides, "name" | "lines" | "early">, number[]>;
  await stick.check(stick.text);
  const { rename, showState } = stick;
  const began = performance.now();
  for (let run = 0; run <= atLeast || (run <= mostRuns && performance.now() - began < patience); run++) {
    const text = stick.typed(run + 1);
    const timed = async (what: keyof typeof times, ask: () => Promise<unknown>) => {
      const begin = performance.now();
      const answer = await ask();
      if (run > 0 && (answer ?? undefined) !== undefined) times[what].push(performance.now() - begin);
    };
    await timed("keystroke", () => stick.check(text));
    if (showState) await timed("stateShown", () => showState(text, stick.askAt));
    await timed("hover", () => stick.hover(text, stick.askAt));
    await timed("hoverAgain", () => stick.hover(text, stick.askAt));
    await timed("completion", () => stick.completion(text, stick.completeAt ?? stick.askAt));
    if (rename) await timed("rename", () => rename(text, stick.askAt));
    await timed("format", () => stick.format(text));
  }
  const early = median(times.keystroke.slice(0, earlyRuns));
  const medians = Object.entries(times).flatMap(([what, all]) =>
    all.length > 0 ? [[what, median(all.slice(all.length >> 1))]] : [],
  );
  return { name: stick.name, lines: stick.text.split("\n").length - 1, early, ...Object.fromEntries(medians) };
}

/** Ours first; every language on as many lines. */
export async function benchBeside(text: string, atLeast: number): Promise<Besides[]> {
  const all: Besides[] = [];
  for (const stick of [own(text), ...yardsticks(text)]) all.push(await measure(stick, atLeast));
  return all;
}
