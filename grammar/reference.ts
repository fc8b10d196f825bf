/** The word list at the end of LANGUAGE.md, made from the vocabulary. */
import { colours } from "./colours.ts";
import { dimensionNames, units } from "./units.ts";
import { findingsWords, items, joiningWords, kinds, properties, proposalWords, statements } from "./vocabulary.ts";

interface Entry {
  readonly word: string;
  readonly text: string;
  readonly example?: string;
}

/** A Markdown table with its columns padded to equal width. */
function markdownTable(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, column) => cell.padEnd(widths[column]!)).join(" | ")} |`;
  const rule = line(widths.map((width) => "-".repeat(width)));
  return `${[line(rows[0]!), rule, ...rows.slice(1).map(line)].join("\n")}\n`;
}

function table(title: string, entries: readonly Entry[]): string {
  const rows = entries.map((entry) => [`\`${entry.word}\``, entry.text, entry.example ? `\`${entry.example}\`` : ""]);
  return `### ${title}\n\n${markdownTable([["Word", "What it says", "Example"], ...rows])}`;
}

const codes = (names: readonly string[]) => names.map((name) => `\`${name}\``).join(" ");

function unitTable(): string {
  const rows = [...new Set(units.map((unit) => unit.dimension))].map((dimension) => {
    const names = units
      .filter((unit) => unit.dimension === dimension)
      .map((unit) => codes([unit.name, ...(unit.also ?? [])]));
    return [dimensionNames[dimension].name.replace(/^an? /, ""), names.join(", ")];
  });
  return `### Units\n\n${markdownTable([["Of", "Units"], ...rows])}`;
}

function colourTable(): string {
  const rows = colours.map((colour) => [`\`${colour.code}\``, colour.name, codes(colour.also)]);
  return `### Colours\n\n${markdownTable([["Letters", "Colour", "Also read"], ...rows])}`;
}

/** Markdown tables of every word, unit and colour. */
export function wordList(): string {
  return [
    table("Statements", statements),
    table("Kinds of part", kinds),
    table("Inside a part", items),
    table("Properties", properties),
    table("Inside a proposal", proposalWords),
    table("Inside findings", findingsWords),
    table("Joining words", joiningWords),
    unitTable(),
    colourTable(),
  ].join("\n");
}
