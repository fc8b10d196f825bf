/**
 * A server that has followed any number of edits answers as one that has just been given the text. Edits cut characters in half, mix line
 * ends, paste garbage and pieces of other machines. A thousand by default; CAMLEAF_EDITS=5000 for more, CAMLEAF_SEED for others.
 */
import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { askAll, rangeOf } from "./ask.ts";
import { NearSession } from "./in-process.ts";

const edits = Number(process.env.CAMLEAF_EDITS ?? 1000);
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

interface Tokens {
  readonly resultId?: string;
  readonly data?: readonly number[];
  readonly edits?: readonly {
    readonly start: number;
    readonly deleteCount: number;
    readonly data?: readonly number[];
  }[];
}

/** Semantic tokens as an editor keeps them: changed by what the server sends, from the second time on. */
class KeptTokens {
  #known: { resultId: string; data: number[] } | undefined;

  async next(session: NearSession): Promise<readonly number[]> {
    const textDocument = { uri };
    const known = this.#known;
    const answer = (await (known
      ? session.request("textDocument/semanticTokens/full/delta", { textDocument, previousResultId: known.resultId })
      : session.request("textDocument/semanticTokens/full", { textDocument }))) as Tokens;
    let data = [...(answer.data ?? known?.data ?? [])];
    // From the last to the first, so that the places of the others stay.
    for (const edit of [...(answer.edits ?? [])].sort((a, b) => b.start - a.start))
      data = [...data.slice(0, edit.start), ...(edit.data ?? []), ...data.slice(edit.start + edit.deleteCount)];
    this.#known = answer.resultId === undefined ? undefined : { resultId: answer.resultId, data };
    return data;
  }
}

/** Names of results are a server's own affair; how it gets from one to the next is looked at apart. */
function withoutNames(answers: Record<string, unknown>): Record<string, unknown> {
  const { "textDocument/semanticTokens/full/delta": _, ...rest } = answers;
  return JSON.parse(JSON.stringify(rest, (name, value) => (name === "resultId" ? undefined : value)));
}

describe("after random edits", () => {
  it("everything is answered as by a server that never saw another text", async () => {
    const editing = new Editing(seed);
    let text = "";
    let version = 0;
    const tokens = new KeptTokens();
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
      await followed.findings(uri, version);
      const kept = await tokens.next(followed);
      const found = await everything(followed, version, text, offset);
      const whole = expected.answers["textDocument/semanticTokens/full"] as Tokens;
      expect(kept, `semantic tokens kept, step ${step}, seed ${seed}`).toEqual(whole.data);
      fresh.end();
      expect(found, `step ${step}, seed ${seed}, at ${offset} of ${JSON.stringify(text)}`).toEqual(expected);
    }
    expect(followed.log).toEqual([]);
  }, 3_600_000);

  it("of a file and of one that it uses, the file is answered as by a server that never saw another text of either", async () => {
    const editing = new Editing(seed + 1);
    const parts = "file:///bench/parts.camleaf";
    const head = 'use "parts.camleaf"\n';
    const texts = {
      main: `${head}supply 120/240 V 60 Hz\nswitch S1 of type Q7\nheater HT 2400 W 240 V\nlimit HL of type H2 senses HT\nwire L1 to S1.C\nwire S1.A to HL to HT to L2\nexpect HT off when S1 off\n`,
      parts: `type Q7 switch {\n  positions on off\n  contact C to A in on rated 30 A 240 V\n}\ntype H2 limit opens 110 C closes 90 C rated 25 A 240 V\n`,
    };
    const near = await new NearSession().start();
    let version = 1;
    await near.open(parts, version, texts.parts);
    await near.open(uri, version, texts.main);
    await near.findings(uri, version);
    for (let step = 0; step < edits / 4; step++) {
      const which = editing.pick(["main", "parts"] as const);
      const before = texts[which];
      // The line that says what is used stays.
      const fixed = which === "main" ? head.length : 0;
      const edit = editing.edit(before.slice(fixed));
      const from = outside(before, edit.from + fixed);
      const to = Math.max(from, outside(before, edit.to + fixed));
      texts[which] = before.slice(0, from) + edit.text + before.slice(to);
      const file = which === "main" ? uri : parts;
      const times = near.timesDone(uri);
      version++;
      await near.change(file, version, [{ range: rangeOf(before, from, to), text: edit.text }]);
      const shown = await near.findingsAfter(uri, times + 1);

      const fresh = await new NearSession().start();
      await fresh.open(parts, 1, texts.parts);
      await fresh.open(uri, 1, texts.main);
      const expected = await fresh.findings(uri, 1);
      const offset = outside(texts.main, editing.offset(texts.main));
      const both = await Promise.all(
        [fresh, near].map((session) =>
          askAll((method, params) => session.request(method, params), session.capabilities, uri, texts.main, offset),
        ),
      );
      const said = `step ${step}, seed ${seed}, at ${offset} of ${JSON.stringify(texts)}`;
      expect(shown, said).toEqual(expected);
      expect(withoutNames(both[1]!), said).toEqual(withoutNames(both[0]!));
      fresh.end();
    }
    near.end();
  }, 3_600_000);
});
