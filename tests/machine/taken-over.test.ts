/** Machines taken over from the text before, after edits that nobody looked at in between, are those of a fresh look at the text. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { reparse } from "../../grammar/reparse.ts";
import type { Tree } from "../../grammar/tree.ts";
import { type Machine, originOf, type ResolvedBefore } from "../../server/machine/index.ts";
import { resolveFile } from "../../server/machine/resolve.ts";

const file = "bench.camleaf";
const text = ["gas-burner", "fan-heater", "ideas/series-load", "ideas/half-volts"]
  .map((name) => readFileSync(`samples/${name}.camleaf`, "utf8"))
  .map((sample, at) => `${sample}\nnote E${at} "looked at"\nexpect S${at} off when SUPPLY off\n`)
  .join("\n");

const resolved = (tree: Tree, before?: ResolvedBefore) =>
  resolveFile(new Map([[file, tree]]), file, undefined, before).machines;

/** Every field by itself, read as somebody would who asks for it. */
const plain = ({ tree: _, ...machine }: Machine) => ({ ...machine });

function generator(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state * 48271) % 2147483647;
    return state % below;
  };
}

/** A digit more or other, blanks, a remark, a line of its own, a line less. */
function edited(now: string, random: (below: number) => number): string {
  const at = random(now.length + 1);
  const line = now.lastIndexOf("\n", at - 1) + 1;
  const next = now.indexOf("\n", at) + 1 || now.length;
  const digit = now.slice(at).search(/\d/);
  switch (random(6)) {
    case 0:
      return digit < 0 ? now : `${now.slice(0, at + digit)}${random(10)}${now.slice(at + digit)}`;
    case 1:
      return digit < 0 ? now : `${now.slice(0, at + digit)}${random(10)}${now.slice(at + digit + 1)}`;
    case 2:
      return now.replace(/ /g, (blank, offset: number) => (offset === now.indexOf(" ", at) ? "  " : blank));
    case 3:
      return `${now.slice(0, line)}# a remark\n${now.slice(line)}`;
    case 4:
      return `${now.slice(0, line)}note E${random(90)} "more"\n${now.slice(line)}`;
    default:
      return random(4) === 0 ? now.slice(0, line) + now.slice(next) : `${now.slice(0, next)}\n${now.slice(next)}`;
  }
}

test("after many edits, looked at now and then", () => {
  const random = generator(4711);
  let taken = 0;
  for (let round = 0; round < 4; round++) {
    let tree = parse(text);
    let machines = resolved(tree);
    for (let turn = 1; turn <= 30; turn++) {
      const next = reparse(edited(tree.text, random), tree);
      machines = resolved(next, { tree, machines });
      tree = next;
      taken += machines.filter((machine) => originOf(machine) !== undefined).length;
      if (random(4) > 0 && turn < 30) continue;
      const fresh = resolved(parse(tree.text));
      expect(JSON.stringify(machines.map(plain))).toBe(JSON.stringify(fresh.map(plain)));
      const statements = new Set<unknown>(tree.statements);
      for (const machine of machines) {
        expect(machine.tree).toBe(tree);
        for (const { statement } of [...machine.expectations, ...machine.notes])
          expect(statements.has(statement)).toBe(true);
      }
    }
  }
  expect(taken).toBeGreaterThan(100);
});
