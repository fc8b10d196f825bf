/** A tree carried over from the text before equals the tree of the whole text, whatever is typed. */
import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { carriedOver, reparse } from "../../grammar/reparse.ts";
import type { Tree } from "../../grammar/tree.ts";

const texts = [
  ...readdirSync("samples").filter((name) => name.endsWith(".camleaf")),
  ...readdirSync("samples/proposals").map((name) => `proposals/${name}`),
  ...readdirSync("samples/bench").map((name) => `bench/${name}`),
]
  .map((name) => `samples/${name}`)
  .filter((name) => name.endsWith(".camleaf"));

const plain = ({ text, statements, comments, errors, tokens }: Tree) => ({
  text,
  statements,
  comments,
  errors,
  tokens,
});

/** What people and programs put into a text: letters, words, braces, half lines, whole blocks, what no one reads. */
const pieces = [
  "a",
  "7",
  " ",
  "\n",
  "\r\n",
  "{",
  "}",
  "#",
  '"',
  ".",
  "to",
  " to ",
  "wire ",
  "\nwire L1 to ",
  "\nheater HX 10 W 120 V\n",
  "\nswitch S {\n  contact 1 to 2 in on\n}\n",
  "\n# silence wire-size: short\n",
  "machine",
  '\nmachine "two"\n',
  "x\n  ",
  "\n  wire",
  "}\n",
  "{\n",
  "😀",
  "\u2028",
  "-",
  "XX--",
  '\nproposal "p" {\n',
  "\ntimr TM {\n  chart {\n    steps off run\n",
  '\nfindings "f" {\n  seen nothing\n}\n',
  "\nframe CAB\n",
];

function generator(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state * 48271) % 2147483647;
    return state % below;
  };
}

function edited(text: string, random: (below: number) => number): string {
  const at = random(text.length + 1);
  const cut = [0, 0, 0, 1, 1, 3, 12, 60, 400][random(9)]!;
  return text.slice(0, at) + (random(4) === 0 ? "" : pieces[random(pieces.length)]!) + text.slice(at + cut);
}

test.each(texts)("%s: after each of many edits", (name) => {
  const whole = readFileSync(name, "utf8");
  const random = generator(name.length * 7919 + 17);
  let kept = 0;
  for (let round = 0; round < 12; round++) {
    let tree = parse(whole);
    // A few edits on top of one another, then from the sound text anew: braces left open would end all carrying over.
    for (let turn = 0; turn < 8; turn++) {
      const text = edited(tree.text, random);
      const again = reparse(text, tree);
      if (carriedOver(again)) kept++;
      // What nobody reads in between is not put together in between either.
      if (turn % 3 !== 1) expect(plain(again)).toEqual(plain(parse(text)));
      tree = again;
    }
  }
  expect(kept).toBeGreaterThan(2);
});

test("only the statements that were touched are read again", () => {
  const text = readFileSync("samples/electric-dryer.camleaf", "utf8");
  const before = parse(text);
  const at = text.indexOf("heater HT");
  const after = reparse(`${text.slice(0, at)}# new\n${text.slice(at)}`, before);
  const { from, to, by, front, back } = carriedOver(after)!;
  expect(by).toBe(6);
  expect(to - from).toBeLessThan(400);
  expect(after.statements[front - 1]).toBe(before.statements[front - 1]);
  expect(after.statements.length - back.after).toBe(before.statements.length - back.before);
  expect(reparse(text, before)).toBe(before);
});
