/** A small edit moves little: how many symbols stand elsewhere after it, on the samples and on random machines. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { drawCircuit } from "../../server/pictures/drawing.ts";
import { generatedMachine } from "../bench/generated-machine.ts";

const folder = join(import.meta.dirname, "../../samples");
const files = new Map(
  readdirSync(folder)
    .filter((name) => name.endsWith(".camleaf"))
    .map((name) => [name, readFileSync(join(folder, name), "utf8")]),
);
const trees = new Map([...files].map(([name, text]) => [name, parse(text)]));

function machineFrom(name: string, text: string): Machine | undefined {
  return resolveMachines(new Map([...trees, [name, parse(text)]]), name)[0];
}

interface Change {
  /** Share of the symbols of both drawings that stand at another place. */
  readonly moved: number;
  /** Share of their pairs whose order, left to right or top to bottom, is turned round. */
  readonly turned: number;
}

function change(before: Machine, after: Machine): Change {
  const places = (machine: Machine) => new Map(drawCircuit(machine).symbols.map(({ name, x, y }) => [name, { x, y }]));
  const now = places(after);
  const both = [...places(before)].flatMap(([name, a]) => (now.has(name) ? [{ a, b: now.get(name)! }] : []));
  const opposite = (a: number, b: number) => Math.sign(a) * Math.sign(b) < 0;
  const pairs = both.flatMap((p, i) => both.slice(i + 1).map((q) => ({ p, q })));
  const turned = pairs.filter(
    ({ p, q }) => opposite(p.a.x - q.a.x, p.b.x - q.b.x) || opposite(p.a.y - q.a.y, p.b.y - q.b.y),
  );
  return {
    moved: both.filter(({ a, b }) => a.x !== b.x || a.y !== b.y).length / Math.max(1, both.length),
    turned: turned.length / Math.max(1, pairs.length),
  };
}

/** The machine with each of these texts instead, against the machine as it is. */
function changes(name: string, text: string, edited: readonly string[]): Change[] {
  const before = machineFrom(name, text)!;
  return edited.map((one) => change(before, machineFrom(name, one)!));
}

const mean = (all: readonly Change[], of: (change: Change) => number) =>
  all.reduce((sum, one) => sum + of(one), 0) / Math.max(1, all.length);

/** One number of each line one larger: amps and watts, never what a part is called. */
function numbersEdited(text: string): string[] {
  const lines = text.split("\n");
  return lines.flatMap((line, i) => {
    const found = / (\d+) ([AW])(?= |$)/.exec(line);
    if (!found) return [];
    // As many digits as before: what is written stays as wide.
    const other = Number(found[1]) % 10 === 9 ? Number(found[1]) - 1 : Number(found[1]) + 1;
    return [lines.with(i, line.replace(found[0], ` ${other} ${found[2]}`)).join("\n")];
  });
}

/** A cut-out put into each wire of each chain. */
function cutOutsPutIn(text: string): string[] {
  const lines = text.split("\n");
  return lines.flatMap((line, i) =>
    line.startsWith("wire ")
      ? [...line.matchAll(/ to /g)].map(({ index }) => {
          const longer = `${line.slice(0, index)} to SX${line.slice(index)}`;
          return `${lines.with(i, longer).join("\n")}\nlimit SX opens 90 C rated 15 A 250 V\n`;
        })
      : [],
  );
}

/** A lamp hung on each point that a wire names. */
function lampsAdded(text: string, back: string): string[] {
  const points = new Set([...text.matchAll(/^wire .*$/gm)].flatMap(([line]) => line.match(/\b[A-Z]+\d*\.\w+/g) ?? []));
  return [...points].map((point) => `${text}\nlamp LX 10 W 120 V\nwire ${point} to LX to ${back}\n`);
}

/** Every `n`th, so that a big machine is no long test. */
const some = <T>(all: readonly T[], most: number): T[] => {
  const step = Math.max(1, Math.floor(all.length / most));
  return all.filter((_, i) => i % step === 0);
};

const texts = [
  ...[...files].filter(([name]) => name !== "parts.camleaf"),
  ...[1, 2].map((seed) => [`bench-${seed}.camleaf`, generatedMachine({ seed, devices: 20 }).text] as const),
];

test.each(texts)("%s: another number moves nothing", (name, text) => {
  const all = changes(name, text, some(numbersEdited(text), 8));
  expect(all.length).toBeGreaterThan(2);
  expect(all.filter(({ moved }) => moved > 0)).toEqual([]);
});

test.each(texts)("%s: a lamp more leaves everything in its order, and most in its place", (name, text) => {
  const all = changes(name, text, some(lampsAdded(text, "N"), 8));
  expect(all.length).toBeGreaterThan(0);
  expect(mean(all, ({ turned }) => turned)).toBeLessThan(0.02);
  expect(mean(all, ({ moved }) => moved)).toBeLessThan(0.5);
});

test.each(texts)("%s: a cut-out more in a wire turns next to nothing round", (name, text) => {
  const all = changes(name, text, some(cutOutsPutIn(text), 8));
  expect(mean(all, ({ turned }) => turned)).toBeLessThan(0.05);
  expect(mean(all, ({ moved }) => moved)).toBeLessThan(0.6);
});

test("remarks and notes move nothing", () => {
  for (const [name, text] of texts)
    expect(change(machineFrom(name, text)!, machineFrom(name, `# a remark\n${text}\nnote "new"\n`)!)).toEqual({
      moved: 0,
      turned: 0,
    });
});
