/** An edit of what the plate of a load says, or of a remark: the machine is that of a fresh look at the text, and most of it is taken over. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { reparse } from "../../grammar/reparse.ts";
import type { Tree } from "../../grammar/tree.ts";
import type { Machine, ResolvedBefore } from "../../server/machine/index.ts";
import { resolveFile } from "../../server/machine/resolve.ts";
import { generatedMachine } from "../bench/generated-machine.ts";

const file = "bench.camleaf";
const sample = (name: string) => readFileSync(`samples/${name}.camleaf`, "utf8");
const ideas = ["series-load", "half-volts", "findings", "relay", "warmed", "half-wave"];
const texts = [
  sample("electric-dryer"),
  sample("gas-burner"),
  sample("fan-heater"),
  ideas.map((name) => sample(`ideas/${name}`)).join("\n"),
  generatedMachine({ seed: 3, devices: 8 }).text,
];

const resolved = (tree: Tree, before?: ResolvedBefore) =>
  resolveFile(new Map([[file, tree]]), file, undefined, before).machines;
const plain = ({ tree: _, ...machine }: Machine) => ({ ...machine });

/** Things of the machine that are the very objects of before. */
function shared(before: readonly Machine[], now: readonly Machine[]): number {
  const old = new Set<unknown>(before.flatMap(({ wires, parts, contacts }) => [...wires, ...parts, ...contacts]));
  return now.flatMap(({ wires, parts, contacts }) => [...wires, ...parts, ...contacts]).filter((one) => old.has(one))
    .length;
}

/** The text after the edit, as it follows from the text before and as it is. */
function follow(tree: Tree, machines: readonly Machine[], text: string, what: string): { now: Machine[]; tree: Tree } {
  const next = reparse(text, tree);
  const now = [...resolved(next, { tree, machines })];
  const fresh = resolved(parse(text));
  expect(JSON.stringify(now.map(plain)), what).toBe(JSON.stringify(fresh.map(plain)));
  const statements = new Set<unknown>(next.statements);
  for (const machine of now) {
    expect(machine.tree).toBe(next);
    for (const { statement } of [...machine.expectations, ...machine.notes])
      expect(statements.has(statement)).toBe(true);
  }
  return { now, tree: next };
}

const loadLine =
  /^(?:heater|lamp|valve|igniter|load|resistor|capacitor|buzzer|ptc|fan|pump|motor)\b[^#\n"]*?(?:"[^"\n]*"[^#\n"]*?)?(?<![\w.])(\d+)/gm;

test.each(texts)("numbers of a load grow, shrink and come back", (text) => {
  let tree = parse(text);
  let machines: readonly Machine[] = resolved(tree);
  let takenOver = 0;
  for (const match of text.matchAll(loadLine)) {
    const at = match.index + match[0].length - match[1]!.length;
    for (const number of ["1", `${match[1]}5`, "0", "1.5", "q", match[1]!]) {
      const edited = text.slice(0, at) + number + text.slice(match.index + match[0].length);
      const before = machines;
      ({ now: machines, tree } = follow(tree, machines, edited, `${match[0]}: ${number}`));
      if (shared(before, machines) > 0) takenOver++;
    }
  }
  expect(takenOver).toBeGreaterThan(2);
});

test.each(texts)("remarks and empty lines between statements", (text) => {
  let tree = parse(text);
  let machines: readonly Machine[] = resolved(tree);
  const lines = text.split("\n");
  for (let line = 0; line < lines.length; line += 3) {
    const edited = [...lines.slice(0, line), line % 2 ? "" : "# a remark", ...lines.slice(line)].join("\n");
    ({ now: machines, tree } = follow(tree, machines, edited, `in front of line ${line + 1}`));
  }
});

test.each(texts)("words of a load come and go, on which other parts may hang", (text) => {
  let tree = parse(text);
  let machines: readonly Machine[] = resolved(tree);
  const [seat = "drum"] = [...text.matchAll(/ at "([^"]+)"/g)].map((match) => match[1]!);
  for (const match of text.matchAll(/^(heater|lamp|valve|load) (\w+)([^\n{]*)$/gm)) {
    const [line, kind, name, rest] = match as unknown as [string, string, string, string];
    const lines = [`${line} at "${seat}"`, `${line} attended`, `${kind} ${name}9${rest}`, `load ${name}${rest}`, line];
    for (const other of [...lines, `${kind} ${name} 5 W`, line]) {
      const edited = text.slice(0, match.index) + other + text.slice(match.index + line.length);
      ({ now: machines, tree } = follow(tree, machines, edited, `${line}: ${other}`));
    }
  }
});
