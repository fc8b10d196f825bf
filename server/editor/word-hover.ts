/** A word of the language itself: what it means in the place where it stands. */
import { unitNamed } from "../../grammar/units.ts";
import { wordText } from "../../grammar/vocabulary.ts";
import { nodeAt, tokenAt } from "../../grammar/walk.ts";
import type { FileView } from "./view.ts";

export interface WordHover {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

export function wordMeaning(view: FileView, offset: number): WordHover | undefined {
  const token = tokenAt(view.tree, offset);
  if (token?.type !== "word") return undefined;
  const { from, to } = token;
  const text = textInPlace(view, from, view.text.slice(from, to)) ?? phraseAt(view, from);
  return text === undefined ? undefined : { from, to, text };
}

/** What `expect` says of its subject; elsewhere some of these words mean something else. */
const inExpectations: Readonly<Record<string, string>> = {
  off: "it gets next to no volts, and does nothing",
  on: "it gets the volts that it works at",
  works: "it gets the volts that it works at",
  heats: "it gets the volts that it works at",
  lights: "it gets the volts that it works at",
  runs: "it turns, or gets the volts to run",
  hums: "its motor is fed and does not turn",
  waits: "its motor does not turn: the program stands still",
  advances: "its motor runs: the program goes on",
  weak: "it gets volts, too few to work",
  stays: "at each moment of the changes, and after them",
  when: "in every state in which this holds",
  closed: "the contact is closed",
  open: "the contact is open",
};

const inSupply: Readonly<Record<string, string>> = {
  single: "one live leg against the neutral",
  split: "two live legs, opposite to each other, with the neutral in the middle",
  wye: "live legs of a three-phase supply, 120 degrees apart",
  reversible: "fits both ways round: live and neutral may change places",
  polarised: "fits one way round only",
  polarized: "fits one way round only",
};

/** Undefined where the word means the same everywhere. */
function textInPlace({ tree }: FileView, from: number, word: string): string | undefined {
  const path = nodeAt(tree, from);
  const statement = (path[0]?.node as { readonly statement?: string } | undefined)?.statement;
  if (statement === "expect") return path.at(-1)?.field === "name" ? undefined : inExpectations[word];
  if (statement === "supply") return inSupply[word];
  // `opens when hold on`: the condition of a seat or contact.
  if (word === "on" && path.some(({ field }) => /condition|clauses|ways|literals/.test(field)))
    return "it has its volts";
  return undefined;
}

/** The longest phrase of the language that the word stands in: `turned by hand`, `of type`, `warmed by`, else the word alone. */
function phraseAt({ text }: FileView, from: number): string | undefined {
  const line = text.slice(text.lastIndexOf("\n", from - 1) + 1, from);
  const before = line.split(/[\s,;{}]+/).filter((word) => word !== "");
  const after = /^[^\n]*/
    .exec(text.slice(from))![0]
    .split(/[\s,;{}]+/)
    .filter((word) => word !== "");
  const words = [...before, ...after];
  const at = before.length;
  for (let count = 3; count > 1; count--)
    for (let first = Math.max(0, at - count + 1); first <= at; first++) {
      const phrase = words.slice(first, first + count);
      const meaning = phrase.length === count ? wordText(phrase.join(" ")) : undefined;
      if (meaning) return meaning;
    }
  const word = words[at] ?? "";
  return wordText(word) ?? unitNamed(word)?.text;
}
