/** The word list at the end of LANGUAGE.md, made from the vocabulary. */
import { colours } from "./colours.ts";
import { dimensionNames, units } from "./units.ts";
import { findingsWords, items, joiningWords, kinds, properties, proposalWords, statements } from "./vocabulary.ts";

interface Entry {
  readonly word: string;
  readonly text: string;
  readonly example?: string;
}

function table(title: string, entries: readonly Entry[]): string {
  const rows = entries.map(
    (entry) => `| \`${entry.word}\` | ${entry.text} | ${entry.example ? `\`${entry.example}\`` : ""} |`,
  );
  return `### ${title}\n\n| Word | What it says | Example |\n| --- | --- | --- |\n${rows.join("\n")}\n`;
}

/** Markdown tables of every word, unit and colour. */
export function wordList(): string {
  const dimensions = [...new Set(units.map((unit) => unit.dimension))].map((dimension) => {
    const names = units.filter((unit) => unit.dimension === dimension).map((unit) => [unit.name, ...(unit.also ?? [])]);
    return `| ${dimensionNames[dimension].name.replace(/^an? /, "")} | ${names.map((list) => list.map((name) => `\`${name}\``).join(" ")).join(", ")} |`;
  });
  const letters = colours.map(
    (colour) => `| \`${colour.code}\` | ${colour.name} | ${colour.also.map((name) => `\`${name}\``).join(" ")} |`,
  );
  return [
    table("Statements", statements),
    table("Kinds of part", kinds),
    table("Inside a part", items),
    table("Properties", properties),
    table("Inside a proposal", proposalWords),
    table("Inside findings", findingsWords),
    table("Joining words", joiningWords),
    `### Units\n\n| Of | Units |\n| --- | --- |\n${dimensions.join("\n")}\n`,
    `### Colours\n\n| Letters | Colour | Also read |\n| --- | --- | --- |\n${letters.join("\n")}\n`,
  ].join("\n");
}
