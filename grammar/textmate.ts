/** The colouring grammar of editors (TextMate form), made from the vocabulary; `camleaf.tmLanguage.json` holds its result. */
import { colours } from "./colours.ts";
import { unitSpellings } from "./units.ts";
import {
  dutyWords,
  expectVerbs,
  findingsWords,
  items,
  joiningWords,
  kinds,
  properties,
  proposalWords,
  statements,
  supplyForms,
} from "./vocabulary.ts";

const literal = (word: string) => word.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&").replace(/ /g, "\\s+");

/** Alternatives, longest first, so that `closes after` comes before `closes`. */
function anyOf(words: Iterable<string>): string {
  const list = [...new Set(words)].sort((a, b) => b.length - a.length || (a < b ? -1 : 1));
  return `(?:${list.map(literal).join("|")})`;
}

const words = (entries: readonly { readonly word: string }[]) => entries.map((entry) => entry.word);
/** Not inside a longer word, not behind a dot (a terminal's name). */
const whole = (pattern: string) => `(?<![\\w.-])${pattern}(?![\\w-])`;

/** The whole grammar as plain data. */
export function textMateGrammar(): object {
  const starters = anyOf([...words(statements), ...words(proposalWords), ...words(findingsWords)]);
  const kindWords = anyOf(words(kinds));
  const lineStart = "^\\s*(?:\\{\\s*)?";
  const phrases = properties.flatMap((property) => property.slots.flatMap((slot) => slot.phrases ?? []));
  const colourWords = anyOf(colours.map((colour) => colour.code));
  return {
    information_for_contributors: ["Made from grammar/vocabulary.ts by grammar/textmate.ts: do not edit by hand."],
    name: "Camleaf",
    scopeName: "source.camleaf",
    patterns: [
      { include: "#comment" },
      { include: "#label" },
      {
        name: "meta.declaration.camleaf",
        match: `${lineStart}(${kindWords})\\b(?![\\w-])(?:\\s+([A-Za-z_][\\w-]*))?`,
        captures: { 1: { name: "storage.type.camleaf" }, 2: { name: "entity.name.type.part.camleaf" } },
      },
      {
        name: "meta.statement.camleaf",
        match: `${lineStart}(${starters})\\b(?![\\w-])`,
        captures: { 1: { name: "keyword.control.camleaf" } },
      },
      {
        name: "meta.chart-row.camleaf",
        match: "^\\s*([\\w-]+)\\s+([Xx12~ \\t-]*[X~-][Xx12~ \\t-]*)(?=#|$)",
        captures: { 1: { name: "entity.name.function.camleaf" }, 2: { name: "constant.character.cells.camleaf" } },
      },
      { include: "#quantity" },
      { name: "keyword.other.item.camleaf", match: `${lineStart}${anyOf(words(items))}(?![\\w-])` },
      { name: "keyword.operator.word.camleaf", match: whole(anyOf(words(joiningWords))) },
      {
        name: "support.type.property-name.camleaf",
        match: whole(anyOf([...words(properties), ...words(items), ...phrases, ...dutyWords, ...supplyForms])),
      },
      { name: "support.function.camleaf", match: `(?<=\\bexpect\\s\\S+\\s)${anyOf(expectVerbs)}(?![\\w-])` },
      { name: "constant.other.colour.camleaf", match: whole(`${colourWords}(?:/${colourWords})?`) },
      { name: "variable.other.terminal.camleaf", match: '(?<=\\.)(?:"[^"]*"|[\\w-]+)' },
      { name: "variable.other.part.camleaf", match: "(?<![\\w.-])[A-Z][A-Z0-9_-]*(?![\\w-])" },
      { name: "punctuation.section.block.camleaf", match: "[{}]" },
    ],
    repository: {
      comment: { name: "comment.line.number-sign.camleaf", match: "#.*$" },
      label: {
        name: "string.quoted.double.camleaf",
        begin: '"',
        end: '"|$',
        patterns: [{ name: "constant.character.escape.camleaf", match: "\\\\." }],
      },
      quantity: {
        match: `(?<![\\w.])([-±]?\\d+(?:\\.\\d+)?(?:\\s?\\d+/\\d+|/\\d+)*(?:\\([\\d.]+\\))?)\\s*(${anyOf(unitSpellings())})(?![\\w.-])`,
        captures: { 1: { name: "constant.numeric.camleaf" }, 2: { name: "keyword.other.unit.camleaf" } },
      },
    },
  };
}
