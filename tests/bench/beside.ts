/** The same things asked of this service and of the yardsticks: keystroke to all problems, hover, completion, rename, format. */
import { formatTree } from "../../grammar/format.ts";
import { completion } from "../../server/editor/completion.ts";
import { hover } from "../../server/editor/hover.ts";
import { rename } from "../../server/editor/rename.ts";
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
  readonly hover?: number;
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
  const { to } = middleHeater(text);
  return {
    name: "Camleaf",
    text,
    typeAt: to,
    askAt: text.lastIndexOf("\nheater ", to) + 8,
    completeAt: text.indexOf(" to ", text.indexOf("\nwire ", to)) + 4,
    check: async (now) => (await put(now)).findings.length,
    hover: async (now, at) => hover(await put(now), at),
    completion: async (now, at) => completion(await put(now), at),
    rename: async (now, at) => rename(await put(now), at, "NEWNAME"),
    format: async (now) => formatTree((await put(now)).tree),
  };
}

async function timed(runs: number, ask: (run: number) => Promise<unknown>): Promise<number> {
  const times: number[] = [];
  for (let run = 0; run <= runs; run++) {
    const begin = performance.now();
    await ask(run);
    // The first run warms the code up; the longest texts have but one more.
    if (run > 0) times.push(performance.now() - begin);
  }
  return median(times);
}

async function measure(stick: Yardstick, runs: number): Promise<Besides> {
  const { text, typeAt, askAt } = stick;
  const typed = (run: number) => `${text.slice(0, typeAt)}${(run % 9) + 1}${text.slice(typeAt)}`;
  await stick.check(text);
  const keystroke = await timed(runs, (run) => stick.check(typed(run)));
  await stick.check(text);
  const asked = Math.max(5, runs);
  const optional = async (ask: (() => Promise<unknown>) | undefined, count = asked) => {
    if (!ask || ((await ask()) ?? undefined) === undefined) return undefined;
    return timed(count, ask);
  };
  const { rename: renaming } = stick;
  return {
    name: stick.name,
    lines: text.split("\n").length - 1,
    keystroke,
    hover: await optional(() => stick.hover(text, askAt)),
    completion: await optional(() => stick.completion(text, stick.completeAt ?? askAt)),
    rename: await optional(renaming && (() => renaming(text, askAt)), runs),
    format: await optional(() => stick.format(text), runs),
  };
}

/** Ours first; every language on as many lines. */
export async function benchBeside(text: string, runs: number): Promise<Besides[]> {
  const all: Besides[] = [];
  for (const stick of [own(text), ...yardsticks(text)]) all.push(await measure(stick, runs));
  return all;
}
