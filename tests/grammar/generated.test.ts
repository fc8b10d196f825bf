/** What is made from the vocabulary is in step with it. `CAMLEAF_WRITE=1 npx vitest run tests/grammar/generated.test.ts` writes it anew. */
import { readFileSync, writeFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { wordList } from "../../grammar/reference.ts";
import { textMateGrammar } from "../../grammar/textmate.ts";
import { items, kinds, properties, proposalWords, statements } from "../../grammar/vocabulary.ts";
import { errors } from "./support.ts";

const writing = process.env.CAMLEAF_WRITE === "1";
const grammarFile = new URL("../../grammar/camleaf.tmLanguage.json", import.meta.url);
const pageFile = new URL("../../grammar/LANGUAGE.md", import.meta.url);
const [begin, end] = ["do not edit below -->\n", "<!-- end of words -->"];

test("camleaf.tmLanguage.json", () => {
  const made = `${JSON.stringify(textMateGrammar(), null, 2)}\n`;
  if (writing) writeFileSync(grammarFile, made);
  expect(readFileSync(grammarFile, "utf8")).toBe(made);
});

test("the word list of LANGUAGE.md", () => {
  const page = readFileSync(pageFile, "utf8");
  const made = `${page.slice(0, page.indexOf(begin) + begin.length)}\n${wordList()}\n${page.slice(page.indexOf(end))}`;
  if (writing) writeFileSync(pageFile, made);
  expect(readFileSync(pageFile, "utf8")).toBe(made);
});

describe("every example of LANGUAGE.md is read without error", () => {
  const page = readFileSync(pageFile, "utf8");
  const examples = [...page.matchAll(/```camleaf\n([\s\S]*?)```/g)].map((match) => match[1]!);
  test("there are many", () => expect(examples.length).toBeGreaterThan(15));
  test.each(examples)("%s", (text) => expect(errors(text)).toEqual([]));
});

describe("every example of the vocabulary is read without error", () => {
  test.each([...statements, ...kinds].map((entry) => entry.example))("%s", (text) => expect(errors(text)).toEqual([]));
  test.each(proposalWords.map((entry) => entry.example))("%s", (text) =>
    expect(errors(`proposal "x" {\n${text}\n}`)).toEqual([]),
  );
  test.each(items.map((entry) => [entry.example, entry.kinds?.[0] ?? "heater"]))("%s in a %s", (text, kind) =>
    expect(errors(`${kind} X {\n${text}\n}`)).toEqual([]),
  );
  test.each(properties.map((entry) => [entry.example, entry.scopes[0]!, entry.kinds?.[0] ?? "heater"]))(
    "%s of a %s",
    (text, scope, kind) => {
      const owner = {
        part: `${kind} X `,
        contact: "relay X { contact 1 to 2 ",
        winding: "motor X { winding 1 to 2 ",
        drive: "timer X { drive 1 to 2 ",
        coil: "relay X { coil 1 to 2 ",
        branch: "thermostat X { bias 1 to 2 ",
        supply: "supply ",
      }[scope];
      const line = `${owner}${text}${owner.includes("{") ? " }" : ""}`;
      expect(errors(line)).toEqual([]);
      // The word itself is what was understood, not a name or a stray word.
      expect(JSON.stringify(parse(line).statements)).toContain(
        `"word":"${properties.find((entry) => entry.example === text)!.word}"`,
      );
    },
  );
});

test("the patterns of the colouring grammar compile", () => {
  const patterns: string[] = [];
  JSON.stringify(textMateGrammar(), (key, value) => {
    if (key === "match" || key === "begin" || key === "end") patterns.push(value);
    return value;
  });
  for (const pattern of patterns) expect(() => new RegExp(pattern)).not.toThrow();
});
