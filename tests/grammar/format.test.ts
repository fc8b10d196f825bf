/** The formatter: what it makes of a text, and four things that must hold of every text. */
import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { applyEdits, formatStretches, formatText, formatWhole } from "../../grammar/format.ts";
import { keepsMeaning } from "../../grammar/format-keeps.ts";
import { readStretch, wholeStretch } from "../../grammar/format-stretch.ts";
import { parse } from "../../grammar/parse.ts";

const texts = ["samples", "tests/language/cases"].flatMap((folder) =>
  readdirSync(new URL(`../../${folder}/`, import.meta.url), { recursive: true, encoding: "utf8" })
    .filter((file) => file.endsWith(".camleaf"))
    .map((file) => ({ file, text: readFileSync(new URL(`../../${folder}/${file}`, import.meta.url), "utf8") })),
);

/** All that a text says, without places; white space within a quantity's own text left out. Written without the formatter's help. */
function meaning(text: string): unknown {
  const bare = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(bare);
    if (typeof value !== "object" || value === null) return value;
    const kept = Object.entries(value).filter(([key]) => !/^(from|to|wordFrom|wordTo)$/.test(key));
    return kept.map(([key, inner]) => [key, key === "text" ? String(inner).replace(/\s/g, "") : bare(inner)]);
  };
  const { statements, errors } = parse(text);
  return { statements: bare(statements), errors: errors.map(({ id }) => id) };
}

const comments = (text: string) => parse(text).comments.map((comment) => comment.text.trimEnd());
const words = (text: string) => text.replace(/\s/g, "");

/** The properties that hold of any text at all. */
function holds(text: string): void {
  const edits = formatText(text);
  const once = applyEdits(text, edits);
  expect(formatText(once)).toEqual([]);
  const tree = parse(text);
  expect(formatStretches(tree, [wholeStretch(tree)])).toEqual(edits);
  expect(words(once)).toBe(words(text));
  expect(meaning(once)).toEqual(meaning(text));
  expect(comments(once)).toEqual(comments(text));
  const mistake = tree.errors[0];
  if (mistake) expect(edits.filter((edit) => edit.to > mistake.from)).toEqual([]);
  // Small edits: white space for white space, each of them a change, in order.
  let last = 0;
  for (const { from, to, text: put } of edits) {
    expect(from).toBeGreaterThanOrEqual(last);
    expect(words(text.slice(from, to) + put)).toBe("");
    expect(put).not.toBe(text.slice(from, to));
    last = to;
  }
}

describe("golden", () => {
  test("braces indent, charts and tables stand in columns, comments keep their column", () => {
    const written = `

#   bench dryer
machine   "A  dryer"


supply 120/240 V   60 Hz breaker 30 A # legs
    timer TM{
drive M1 to M2     120 V 2.5 W
contact run   A to B  rated 15( 8 ) A 125 V   # motor
contact heating C to D  rated 25 A 240 V
\tchart 5 min per step {   # from the sheet
steps off 1 timed 12 cool-down 2
run - X X X XXXXXXXXX XX
heating -XXXXXXXXXXXX--
}
  }
motor DM { speed-switch {
contact 6 to 3 while stopped } }


heater HT 5400 W
240 V   
wire L1 to TM.C    BK 10 AWG
expect HT off when DM stopped ,TM in off
`;
    expect(formatWhole(written)).toBe(
      `#   bench dryer
machine "A  dryer"

supply 120/240 V  60 Hz breaker 30 A                      # legs
timer TM {
  drive M1 to M2  120 V 2.5 W
  contact run     A to B  rated 15(8) A 125 V             # motor
  contact heating C to D  rated 25 A 240 V
  chart 5 min per step {                                  # from the sheet
    steps    off 1  timed 12      cool-down 2
    run      -      XXXXXXXXXXXX  XX
    heating  -      XXXXXXXXXXXX  --
  }
}
motor DM { speed-switch {
  contact 6 to 3 while stopped } }

heater HT 5400 W
    240 V
wire L1 to TM.C  BK 10 AWG
expect HT off when DM stopped, TM in off
`.replace("machine  ", "machine "),
    );
  });

  test("a chart that goes on below, with step times and rows named by terminals", () => {
    const written = `timer TM {
contact 1 to 4
contact 1 to 12
chart {
steps off 1 "spin dry" 3 of 45 s rest 1
1-4 - XXX -
1-12 X---X
steps   on 2
1-4 XX
1-12 --
} }`;
    expect(formatWhole(written)).toBe(`timer TM {
  contact 1 to 4
  contact 1 to 12
  chart {
    steps  off 1  "spin dry" 3 of 45 s  rest 1
    1-4    -      XXX                   -
    1-12   X      ---                   X
    steps  on 2
    1-4    XX
    1-12   --
} }
`);
  });

  test("from a mistake on, nothing is touched", () => {
    const written = `wire   L1 to A.1\nheater HT   5400 Q\nwire   L1 to   A.1\n\n\n`;
    expect(formatWhole(written)).toBe(`wire L1 to A.1\nheater HT   5400 Q\nwire   L1 to   A.1\n\n\n`);
  });

  test("samples are formatted, save for the width of some tables", () => {
    const same = texts.filter(({ text }) => formatWhole(text) === text).length;
    expect(same).toBeGreaterThan(texts.length * 0.7);
    for (const { text } of texts) {
      const squeezed = (whole: string) => whole.replace(/ {2,}/g, "  ");
      expect(squeezed(formatWhole(text)).replace(/ +#/g, " #")).toBe(squeezed(text).replace(/ +#/g, " #"));
    }
  });
});

/** Changes of white space that may never change what a text says. */
const mess: readonly { name: string; of: (text: string) => string }[] = [
  { name: "as it is", of: (text) => text },
  { name: "no indentation", of: (text) => text.replace(/^ +/gm, "") },
  { name: "tabs", of: (text) => text.replace(/^( {2})+/gm, (run) => "\t".repeat(run.length / 2)) },
  { name: "single spaces", of: (text) => text.replace(/(\S) +/g, "$1 ") },
  { name: "wide spaces", of: (text) => text.replace(/(\S) (?=\S)/g, "$1   ") },
  { name: "carriage returns", of: (text) => text.replace(/\n/g, "\r\n") },
  { name: "blank lines, no end", of: (text) => `\n${text.replace(/\n/g, "\n\n\n").trimEnd()}` },
  { name: "byte order mark", of: (text) => `\ufeff  ${text}` },
];

describe("of every sample and case", () => {
  for (const { name, of } of mess) {
    test(`${name}: stable, same meaning, all comments, and really formatted`, () => {
      for (const { text } of texts) {
        const messy = of(text);
        holds(messy);
        // The look back at the meaning stops no formatting of a text without mistakes.
        const formatted = formatWhole(messy);
        expect(formatted).not.toMatch(/[ \t]\r?$|\n\r?\n\r?\n|\t/m);
        expect(formatted.endsWith("\n")).toBe(true);
      }
    });
  }

  test("indentation comes back", () => {
    for (const { text } of texts) {
      const whole = formatWhole(text);
      const bare = whole.replace(/^ +/gm, "");
      const margin = (one: string) => one.split("\n").map((line) => line.length - line.trimStart().length);
      expect(margin(formatWhole(bare))).toEqual(margin(whole));
    }
  });

  test("line breaks stay as the file has them", () => {
    for (const { text } of texts)
      expect(formatWhole(text.replace(/\n/g, "\r\n"))).toBe(formatWhole(text).replace(/\n/g, "\r\n"));
  });
});

describe("of any text", () => {
  test("cut, with pieces gone, doubled or moved", () => {
    const change = fc.record({
      file: fc.nat(texts.length - 1),
      at: fc.double({ min: 0, max: 1, noNaN: true }),
      remove: fc.nat(12),
      insert: fc.constantFrom(
        "",
        "{",
        "}",
        "\n",
        "  ",
        '"',
        "#",
        ",",
        "\t",
        "chart {",
        "\r",
        "|",
        "\n\n\n",
        "contact",
        ";",
      ),
      cut: fc.boolean(),
    });
    fc.assert(
      fc.property(change, ({ file, at, remove, insert, cut }) => {
        const { text } = texts[file]!;
        const place = Math.floor(at * text.length);
        holds(text.slice(0, place) + insert + (cut ? "" : text.slice(place + remove)));
      }),
      { numRuns: 300, seed: 7 },
    );
  });

  test("spaces put in and taken away anywhere between words", () => {
    const gaps = fc.array(fc.constantFrom(1, 1, 2, 3, 5), { minLength: 7, maxLength: 40 });
    fc.assert(
      fc.property(fc.nat(texts.length - 1), gaps, (file, widths) => {
        let count = 0;
        holds(texts[file]!.text.replace(/ +/g, () => " ".repeat(widths[count++ % widths.length]!)));
      }),
      { numRuns: 100, seed: 11 },
    );
  });

  test("whatever other white space is said to keep what a text says does keep it", () => {
    const put = fc.constantFrom("", " ", "  ", "\n", "\n    ", "\t");
    const change = fc.record({ nth: fc.nat(), put });
    let kept = 0;
    fc.assert(
      fc.property(fc.nat(texts.length - 1), fc.array(change, { minLength: 1, maxLength: 3 }), (file, changes) => {
        const { text } = texts[file]!;
        const gaps = [...text.matchAll(/\s+|(?<=[^\s\w])|(?=[^\s\w])/g)];
        const edits = new Map(
          changes.map(({ nth, put }) => {
            const { index: from, 0: gap } = gaps[nth % gaps.length]!;
            return [from, { from, to: from + gap.length, text: put }];
          }),
        );
        const ordered = [...edits.values()].sort((a, b) => a.from - b.from);
        const after = applyEdits(text, ordered);
        if (!keepsMeaning(readStretch(wholeStretch(parse(text))), ordered, after)) return;
        kept++;
        expect(meaning(after)).toEqual(meaning(text));
        expect(comments(after)).toEqual(comments(text));
      }),
      { numRuns: 500, seed: 17 },
    );
    expect(kept).toBeGreaterThan(80);
  });

  test("a heap of marks and words", () => {
    const words = fc.constantFrom(
      "timer",
      "TM",
      "{",
      "}",
      "chart",
      "steps",
      "off 1",
      "-",
      "X",
      "\n",
      "  ",
      "#a",
      '"',
      ",",
      "to",
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 40 }), (heap) => holds(heap.join(" "))),
      { numRuns: 500, seed: 13 },
    );
  });
});
