/** Half-typed and random text: always a tree, and no other statement lost. */
import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { tokenize } from "../../grammar/lexer.ts";
import { parse } from "../../grammar/parse.ts";
import { CamleafParser } from "../../grammar/parser.ts";
import { separate } from "../../grammar/separate.ts";
import type { Tree } from "../../grammar/tree.ts";
import { walk } from "../../grammar/walk.ts";

const texts = ["samples", "tests/language/cases"].flatMap((folder) =>
  readdirSync(new URL(`../../${folder}/`, import.meta.url))
    .filter((file) => file.endsWith(".camleaf"))
    .map((file) => ({ file, text: readFileSync(new URL(`../../${folder}/${file}`, import.meta.url), "utf8") })),
);

/** Content of a node without its place. */
function content(node: object): string {
  return JSON.stringify(node, (key, value) =>
    key === "from" || key === "to" || key === "wordFrom" || key === "wordTo" || key === "block" ? undefined : value,
  );
}

/** Every statement and every line of a block as one unit, with its place. A part's own unit is its header. */
function units(tree: Tree): { from: number; to: number; content: string }[] {
  const found: { from: number; to: number; content: string }[] = [];
  for (const statement of tree.statements) {
    const inner: readonly { from: number; to: number }[] =
      statement.statement === "part" || statement.statement === "type"
        ? statement.items
        : statement.statement === "proposal"
          ? statement.edits
          : statement.statement === "findings"
            ? statement.entries
            : [];
    const block = "block" in statement ? statement.block : undefined;
    const header = block ? { ...statement, to: block.from, items: [], edits: [], entries: [] } : statement;
    found.push({ from: header.from, to: header.to, content: content(header) });
    if (block) for (const item of inner) found.push({ from: item.from, to: item.to, content: content(item) });
  }
  return found;
}

/** Units of `before` that are gone in `after`, those that the changed line [from, to) touches left out. */
function lost(before: Tree, after: Tree, from: number, to: number): string[] {
  const left = new Map<string, number>();
  for (const unit of units(after)) left.set(unit.content, (left.get(unit.content) ?? 0) + 1);
  const gone: string[] = [];
  for (const unit of units(before)) {
    if (unit.from < to && from < unit.to) continue;
    const count = left.get(unit.content) ?? 0;
    if (count === 0) gone.push(unit.content);
    else left.set(unit.content, count - 1);
  }
  return gone;
}

describe("half-typed lines", () => {
  test("a line cut behind each of its tokens costs no other statement", () => {
    let cases = 0;
    let clean = 0;
    const examples: string[] = [];
    for (const { file, text } of texts) {
      const before = parse(text);
      let number = 0;
      for (const token of before.tokens) {
        // Every fifth token: the whole set says the same and takes five times as long.
        if (number++ % 5 !== 0) continue;
        const lineEnd = text.indexOf("\n", token.to);
        const lineStart = text.lastIndexOf("\n", token.from) + 1;
        if (lineEnd < 0) continue;
        const cut = text.slice(0, token.to) + text.slice(lineEnd);
        const gone = lost(before, parse(cut), lineStart, lineEnd);
        cases++;
        if (gone.length === 0) clean++;
        else if (examples.length < 8)
          examples.push(`${file}: ${text.slice(lineStart, token.to).trim()} | ${gone.length}`);
      }
    }
    console.log(`half-typed: ${cases} cuts, nothing else lost in ${((100 * clean) / cases).toFixed(2)} %`, examples);
    expect(cases).toBeGreaterThan(1000);
    expect(clean / cases).toBeGreaterThanOrEqual(0.98);
  });

  test("a file cut anywhere keeps all statements before the cut", () => {
    for (const { text } of texts) {
      const before = parse(text);
      for (let at = 7; at < text.length; at += 97) {
        const after = parse(text.slice(0, at));
        const kept = after.statements.map(content);
        // The statement right before the cut may still go on.
        const whole = before.statements.filter(
          (statement, index) => (before.statements[index + 1]?.from ?? text.length) < at && statement.to < at,
        );
        for (const statement of whole) expect(kept).toContain(content(statement));
      }
    }
  });
});

/** True for a tree whose nodes all lie inside their text. */
function wellFormed(text: string): boolean {
  const tree = parse(text);
  const inside = (node: { from: number; to: number }) =>
    node.from >= 0 && node.from <= node.to && node.to <= text.length;
  let good = [...tree.errors, ...tree.comments, ...tree.tokens].every(inside);
  walk(tree, ({ node }) => {
    good &&= inside(node);
    return undefined;
  });
  return good;
}

describe("any text at all", () => {
  const words = [...new Set(texts.flatMap(({ text }) => text.split(/\s+/)))];
  const soup = fc.array(
    fc.oneof(
      fc.constantFrom(...words),
      fc.constantFrom(
        "{",
        "}",
        "\n",
        "(",
        ")",
        '"',
        ",",
        ";",
        "to",
        "or",
        "when",
        "/",
        "..",
        "-",
        "chart",
        "steps",
        "proposal",
        "type",
      ),
    ),
    { maxLength: 60 },
  );

  test("random characters", () => {
    fc.assert(fc.property(fc.string({ unit: "binary", maxLength: 200 }), wellFormed), { numRuns: 1500 });
  });
  test("random words of the language", () => {
    fc.assert(
      fc.property(soup, (list) => wellFormed(list.join(" "))),
      { numRuns: 1500 },
    );
    fc.assert(
      fc.property(soup, (list) => wellFormed(list.join("\n"))),
      { numRuns: 1000 },
    );
  });
  test("whole machines with pieces cut out, doubled and moved", () => {
    const change = fc.record({
      which: fc.nat(texts.length - 1),
      a: fc.nat(100_000),
      b: fc.nat(400),
      c: fc.nat(100_000),
      kind: fc.nat(2),
    });
    fc.assert(
      fc.property(change, ({ which, a, b, c, kind }) => {
        const { text } = texts[which]!;
        const from = a % text.length;
        const piece = text.slice(from, from + b);
        if (kind === 0) return wellFormed(text.slice(0, from) + text.slice(from + b));
        const to = c % text.length;
        return wellFormed(text.slice(0, to) + piece + text.slice(to));
      }),
      { numRuns: 300 },
    );
  });
  test("the empty file, only comments, only braces, deep nesting", () => {
    for (const text of [
      "",
      "\n",
      "# x",
      "{",
      "}",
      "{{{{",
      "}}}}",
      '"',
      "heater",
      "chart {",
      "\ufeffheater HT",
      "(".repeat(5000),
      "timer T {\n".repeat(3000),
      "wire A to ".repeat(3000),
    ]) {
      expect(wellFormed(text), JSON.stringify(text.slice(0, 20))).toBe(true);
    }
  });
});

test("the work of reading grows with the length of the text: ten times the text, ten times the looks at a token", () => {
  const text = texts.map((one) => one.text).join("\n");
  let looks = 0;
  class CountingParser extends CamleafParser {
    protected override LA(ahead: number) {
      looks++;
      return super.LA(ahead);
    }
  }
  const parser = new CountingParser();
  const work = (copies: number) => {
    const long = text.repeat(copies);
    const separated = separate(long, tokenize(long).tokens);
    looks = 0;
    parser.read(long, separated.tokens);
    return looks;
  };
  expect(work(10) / work(1)).toBeLessThan(10.5);
  expect(work(1) / tokenize(text).tokens.length).toBeLessThan(60);
});
