/**
 * The same machine in other words differs in nothing: statements in another order, chains cut into single wires, wires through splices,
 * ends of one connection wired another way round, chart rows as ranges, parts under other names (with the mapping). On the samples and on
 * random machines, every check run on both.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { applyEdits, type TextEdit } from "../../grammar/format.ts";
import { parse } from "../../grammar/parse.ts";
import type { WireStatement } from "../../grammar/tree.ts";
import { describePositions, type Machine, maskOf, resolveMachines } from "../../server/machine/index.ts";
import { sideOf } from "../../server/proposals/compare.ts";
import { differenceOf, isEmptyDifference, type Side } from "../../server/proposals/difference.ts";
import { toEnd } from "../checks/analysed.ts";
import { machineSketches, machineText, writtenMachine } from "./random-text.ts";
import { sample } from "./support.ts";

const parts = parse(sample("parts"));
const machineOf = (text: string): Machine =>
  resolveMachines(
    new Map([
      ["m", parse(text)],
      ["parts.camleaf", parts],
    ]),
    "m",
  )[0]!;

/** Draws numbers below a bound, for a rewrite that needs as many as it likes. */
type Draw = (below: number) => number;

interface Rewriting {
  readonly text: string;
  readonly renames: ReadonlyMap<string, string>;
}

const rewrites: Readonly<Record<string, (text: string, draw: Draw) => Rewriting>> = {
  order: (text, draw) => plain(shuffled(text, draw)),
  "single wires": (text) => plain(singleWires(text)),
  splices: (text, draw) => plain(spliced(text, draw)),
  "another way round": (text, draw) => plain(rewired(text, draw)),
  "charts as ranges": (text) => plain(withoutCharts(text)),
  names: renamed,
};

const plain = (text: string): Rewriting => ({ text, renames: new Map() });

/** Whole statements, with the lines that belong to them, in any order behind the head. */
function shuffled(text: string, draw: Draw): string {
  const { statements } = parse(text);
  const free = statements.filter(({ statement }) => ["part", "wire", "expect", "note"].includes(statement));
  const order = free.map((each) => ({ each, at: draw(10_000) })).sort((a, b) => a.at - b.at);
  let result = text;
  // From the end, so that offsets before stay.
  for (let i = free.length - 1; i >= 0; i--) {
    const { from, to } = free[i]!;
    const { each } = order[i]!;
    result = result.slice(0, from) + text.slice(each.from, each.to) + result.slice(to);
  }
  return result;
}

const wiresOf = (text: string): readonly WireStatement[] =>
  parse(text).statements.filter((each): each is WireStatement => each.statement === "wire");

/** Every connection of a chain as a line of its own, by the terminals that it joins. */
function singleWires(text: string): string {
  const machine = machineOf(text);
  let result = text;
  for (const { links, word, from, to } of [...wiresOf(text)].reverse()) {
    const own = machine.wires.filter(({ place, kind }) => kind !== "internal" && place.from >= from && place.to <= to);
    if (own.length !== links.length - 1) continue;
    const rest = text.slice(links.at(-1)!.to, to);
    const name = (terminal: number) => machine.terminals[terminal]!.fullName;
    result =
      result.slice(0, from) +
      own.map(({ a, b }) => `${word} ${name(b)} to ${name(a)}${rest}`).join("\n") +
      result.slice(to);
  }
  return result;
}

/** Some wires run through a splice. */
function spliced(text: string, draw: Draw): string {
  let number = 0;
  const lines = singleWires(text)
    .split("\n")
    .map((line) => {
      const found = /^wire (\S+) to (\S+)(.*)$/.exec(line);
      if (!found || draw(3) > 0) return line;
      return `wire ${found[1]} to XS${++number} to ${found[2]}${found[3]}`;
    });
  const splices = Array.from({ length: number }, (_, i) => `splice XS${i + 1}`);
  const last = lines.findLastIndex((line) => line.startsWith("wire "));
  return [...lines.slice(0, last + 1), ...splices, ...lines.slice(last + 1)].join("\n");
}

/** Of three ends that are one connection, a wire goes to another of them. */
function rewired(text: string, draw: Draw): string {
  const lines = singleWires(text).split("\n");
  const ends = (line: string) =>
    /^wire (\S+) to (\S+)$/.exec(line.replace(/ {2}.*| #.*/, ""))?.slice(1) as [string, string] | undefined;
  return lines
    .map((line, index) => {
      const own = ends(line);
      if (!own || draw(2) > 0) return line;
      // Another wire on the same end leads on: to its far end it is the same connection.
      const other = lines.findIndex(
        (each, at) => at > index && ends(each)?.includes(own[0]!) && !ends(each)!.includes(own[1]!),
      );
      if (other < 0) return line;
      const far = ends(lines[other]!)!.find((end) => end !== own[0]!)!;
      return line.replace(`wire ${own[0]} to`, `wire ${far} to`);
    })
    .join("\n");
}

/** Rows of charts as `in` of each contact, the steps as positions of the timer. */
function withoutCharts(text: string): string {
  const machine = machineOf(text);
  const edits: TextEdit[] = [];
  for (const { control, rows } of machine.programs) {
    const stepping = machine.controls[control]!;
    for (const row of rows) {
      const contact = machine.contacts.find(({ name }) => name === `${stepping.name}.${row.name}`);
      const node = contact && text.slice(contact.place.from, contact.place.to);
      const head = node && /^contact\s+\S+\s+\S+ to \S+/.exec(node)?.[0];
      const closed = [...row.cells].flatMap((cell, step) => (cell === "X" ? [step] : []));
      if (!contact || !head || !/^[X-]+$/.test(row.cells) || closed.length === 0) continue;
      const words = describePositions(stepping, maskOf(stepping.positions.length, closed));
      const at = contact.place.from + head.length;
      const [line, end] = [text.lastIndexOf("\n", row.place.from) + 1, text.indexOf("\n", row.place.to) + 1];
      edits.push({ from: line, to: end, text: "" }, { from: at, to: at, text: ` in ${words}` });
    }
  }
  return applyEdits(
    text,
    edits.sort((one, two) => one.from - two.from),
  );
}

/** Every part under another name, everywhere that it is named. */
function renamed(text: string, draw: Draw): Rewriting {
  const machine = machineOf(text);
  const renames = new Map<string, string>();
  for (const { id, name, place } of machine.parts)
    if (id !== machine.supply.part && place.file === "m" && draw(2) === 0)
      renames.set(name, `Q${renames.size}-${name}`);
  let result = text;
  const places = machine.mentions
    .filter(
      ({ target, place }) =>
        target.type === "part" && place.file === "m" && renames.has(text.slice(place.from, place.to)),
    )
    .map(({ place }) => place)
    .sort((a, b) => b.from - a.from);
  for (const { from, to } of new Map(places.map((place) => [place.from, place])).values())
    result = result.slice(0, from) + renames.get(text.slice(from, to))! + result.slice(to);
  return { text: result, renames };
}

const wayRound = "another way round";

/** Wired another way round, a piece of a connection may carry more than before: what its size stands is news then, and right so. */
const withoutSizes = (text: string): string => text.replace(/^(wire .*?) {2,}.*$/gm, "$1");

const draws = fc.array(fc.nat(9_999), { minLength: 40, maxLength: 40 });
const drawing = (numbers: readonly number[]): Draw => {
  let at = 0;
  return (below) => numbers[at++ % numbers.length]! % below;
};

function expectNothing(before: Side, text: string, { text: other, renames }: Rewriting): void {
  const machine = machineOf(other);
  // The rewrite must be one: no name lost, nothing misunderstood.
  const errors = machine.findings.filter(({ gravity }) => gravity === "error").map(({ what }) => what);
  expect([errors, other].flat()).toEqual([other]);
  const difference = toEnd(differenceOf(before, toEnd(sideOf(machine)), renames));
  if (!isEmptyDifference(difference))
    throw new Error(`${JSON.stringify(difference, undefined, 1)}\n${text}\n--- against\n${other}`);
}

for (const [name, rewrite] of Object.entries(rewrites)) {
  test.each(["electric-dryer", "top-loading-washer", "gas-burner", "fan-heater"])(`${name}: %s`, (file) => {
    const text = name === wayRound ? withoutSizes(sample(file)) : sample(file);
    const before = toEnd(sideOf(machineOf(text)));
    let changed = 0;
    fc.assert(
      fc.property(draws, (numbers) => {
        const rewriting = rewrite(text, drawing(numbers));
        if (rewriting.text !== text) changed++;
        expectNothing(before, text, rewriting);
      }),
      { numRuns: 2 },
    );
    if (name !== "charts as ranges") expect(changed).toBeGreaterThan(0);
  });
}

test("random machines in other words", () => {
  fc.assert(
    fc.property(machineSketches, fc.constantFrom(...Object.keys(rewrites)), draws, (sketch, name, numbers) => {
      const written = machineText(writtenMachine(sketch));
      const text = name === wayRound ? withoutSizes(written) : written;
      const rewriting = rewrites[name]!(text, drawing(numbers));
      expectNothing(toEnd(sideOf(machineOf(text))), text, rewriting);
    }),
    { numRuns: Math.ceil(Number(process.env.RUNS ?? 5000) / 125) },
  );
});

test("a chart as ranges is another text indeed", () => {
  for (const file of ["electric-dryer", "top-loading-washer"]) {
    const text = sample(file);
    const other = withoutCharts(text);
    expect(other).not.toBe(text);
    expect(other).toMatch(/contact \S+ +\S+ to \S+ in /);
  }
});
