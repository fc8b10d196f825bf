/**
 * A server that has followed any number of edits answers as one that has just been given the text. Edits cut characters in half, mix line
 * ends, paste garbage and pieces of other machines. A few hundred by default; CAMLEAF_EDITS=5000 for many, CAMLEAF_SEED for others.
 */
import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { askAll, rangeOf } from "./ask.ts";
import { NearSession } from "./in-process.ts";

const edits = Number(process.env.CAMLEAF_EDITS ?? 240);
const seed = Number(process.env.CAMLEAF_SEED ?? 1);
const uri = "file:///bench/a.camleaf";
const sample = (name: string) => readFileSync(new URL(`../../samples/${name}.camleaf`, import.meta.url), "utf8");

/** Small machines, so that each step is quick: what an edit can do to one it can do to a large one. */
const starts = [
  "gas-burner",
  "ideas/timer-waits + ideas/hold-in",
  "ideas/model",
  "ideas/proposal + ideas/model + ideas/findings",
  "fan-heater",
];

const start = (names: string) => names.split(" + ").map(sample).join("\n");

/** mulberry32: same numbers everywhere. */
function random(from: number): () => number {
  let state = from | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

interface Edit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

class Editing {
  readonly #random: () => number;
  readonly #lines: readonly string[];
  constructor(from: number) {
    this.#random = random(from);
    this.#lines = starts.flatMap((names) => start(names).split("\n"));
  }
  #below = (n: number) => Math.floor(this.#random() * n);
  pick = <T>(from: readonly T[]): T => from[this.#below(from.length)]!;
  offset = (text: string) => this.#below(text.length + 1);

  edit(text: string): Edit {
    const at = this.offset(text);
    const lineFrom = text.lastIndexOf("\n", at - 1) + 1;
    const lineTo = (text.indexOf("\n", at) + 1 || text.length + 1) - 1;
    switch (this.#below(12)) {
      case 0: // a letter more
        return {
          from: at,
          to: at,
          text: this.pick(["a", "X", "1", " ", ".", "(", "}", "{", '"', "#", "-", ",", "\t"]),
        };
      case 1: // a letter less, be it half an emoji
        return { from: at, to: Math.min(text.length, at + 1), text: "" };
      case 2:
        return { from: at, to: at, text: this.pick(["\r\n", "\n", "\r", "\n\n", "\r\n\r\n"]) };
      case 3: // half an emoji, a whole one, and what editors paste
        return {
          from: at,
          to: at,
          text: this.pick(["😀", "\ud83d", "\ude00", "é", "\u200b", "\ufeff", "\u2028", "\0", "中"]),
        };
      case 4: // the rest of a line
        return { from: at, to: lineTo, text: "" };
      case 5: // a whole line
        return { from: lineFrom, to: Math.min(text.length, lineTo + 1), text: "" };
      case 6: {
        // a stretch over several lines
        return { from: at, to: Math.min(text.length, at + this.#below(120)), text: "" };
      }
      case 7: // a line of another machine
        return { from: lineFrom, to: lineFrom, text: `${this.pick(this.#lines)}\n` };
      case 8: // half a line of one
        return { from: at, to: at, text: this.pick(this.#lines).slice(0, this.#below(20)) };
      case 9: // garbage
        return {
          from: at,
          to: at,
          text: Array.from({ length: this.#below(12) }, () => String.fromCharCode(this.#below(0x3000))).join(""),
        };
      case 10: {
        // a line twice
        return { from: lineFrom, to: lineFrom, text: `${text.slice(lineFrom, lineTo)}\n` };
      }
      default: // one word for another
        return { ...wordAt(text, at), text: this.pick(wordsOf(this.pick(this.#lines))) };
    }
  }
}

const wordsOf = (line: string): string[] => [...(line.match(/[\w.-]+/g) ?? ["x"])];

function wordAt(text: string, at: number): { from: number; to: number } {
  let from = at;
  let to = at;
  while (from > 0 && /[\w.-]/.test(text[from - 1]!)) from--;
  while (to < text.length && /[\w.-]/.test(text[to]!)) to++;
  return { from, to };
}

/** No editor has a place between CR and LF. */
const outside = (text: string, offset: number) =>
  text[offset - 1] === "\r" && text[offset] === "\n" ? offset - 1 : offset;

let followed: NearSession;
beforeAll(async () => {
  followed = await new NearSession().start();
});
afterAll(() => followed.end());

async function everything(session: NearSession, version: number, text: string, offset: number) {
  const diagnostics = await session.findings(uri, version);
  const ask = (method: string, params: object) => session.request(method, params);
  const answers = await askAll(ask, session.capabilities, uri, text, offset);
  return { diagnostics, answers: withoutNames(answers) };
}

/** Names of results are a server's own affair; so is how it gets from one to the next (semantic-tokens tests see to that). */
function withoutNames(answers: Record<string, unknown>): unknown {
  const { "textDocument/semanticTokens/full/delta": _, ...rest } = answers;
  return JSON.parse(JSON.stringify(rest, (name, value) => (name === "resultId" ? undefined : value)));
}

describe("after random edits", () => {
  it("everything is answered as by a server that never saw another text", async () => {
    const editing = new Editing(seed);
    let text = "";
    let version = 0;
    for (let step = 0; step < edits; step++) {
      if (step % 40 === 0) {
        text = start(editing.pick(starts));
        if (step % 80 === 40) text = text.replaceAll("\n", "\r\n");
        version++;
        await (version === 1 ? followed.open(uri, version, text) : followed.change(uri, version, [{ text }]));
        // At times the analysis comes to its end in between, at times the edits overtake it.
        if (step % 80 === 0) await followed.findings(uri, version);
      }
      const changes: object[] = [];
      const count = editing.pick([1, 1, 1, 2, 3]);
      for (let i = 0; i < count; i++) {
        const edit = editing.edit(text);
        const from = outside(text, edit.from);
        const to = Math.max(from, outside(text, edit.to));
        changes.push({ range: rangeOf(text, from, to), text: edit.text });
        text = text.slice(0, from) + edit.text + text.slice(to);
      }
      if (text.length > 6_000) text = text.slice(0, 4_000);
      if (text.length === 4_000) changes.splice(0, changes.length, { text });
      version++;
      await followed.change(uri, version, changes);
      if (editing.pick([true, false, false])) continue; // typed on before anything was asked
      const offset = outside(text, editing.offset(text));
      const fresh = await new NearSession().start();
      await fresh.open(uri, version, text);
      const expected = await everything(fresh, version, text, offset);
      const found = await everything(followed, version, text, offset);
      fresh.end();
      expect(found, `step ${step}, seed ${seed}, at ${offset} of ${JSON.stringify(text)}`).toEqual(expected);
    }
    expect(followed.log).toEqual([]);
  }, 3_600_000);
});
