/** A machine written up: what stands on the page, and the page as HTML or Markdown. The same input gives the same bytes. */

import type { BenchReport } from "../base/bench.ts";
import { type Finding, shownStateText } from "../base/finding.ts";
import type { Machine } from "../machine/machine.ts";
import { cautions } from "./cautions.ts";
import { htmlOf } from "./html.ts";
import { markdownOf } from "./markdown.ts";
import { benchSection, meterSection, type WrittenTest } from "./meter-section.ts";
import type { Block, Item, Page } from "./page.ts";
import { proposalSection, type WrittenProposal } from "./proposal-section.ts";

/** What a write-up is written in. */
export type WriteUpFormat = "html" | "markdown";

export interface WrittenFact {
  readonly name: string;
  readonly text: string;
}

export interface WrittenThing {
  readonly name: string;
  readonly what: string;
  readonly label?: string;
  readonly facts: readonly WrittenFact[];
}

export interface WriteUpInput {
  readonly machine: Machine;
  /** Name of the file, for the text that is taken out again. */
  readonly fileName: string;
  readonly source: string;
  /** `data:` addresses of the photos that notes name, by the path as written. */
  readonly photos?: ReadonlyMap<string, string>;
  /** SVG of our own making, and what each shows. */
  readonly drawings: readonly { readonly svg: string; readonly words: string }[];
  readonly charts: readonly { readonly svg: string; readonly words: string }[];
  readonly loads: readonly WrittenThing[];
  readonly contacts: readonly WrittenThing[];
  /** How to test each part with a meter. */
  readonly tests?: readonly WrittenTest[];
  readonly benches?: readonly BenchReport[];
  readonly proposals?: readonly WrittenProposal[];
  /** What became of each `expect` statement. */
  readonly expectations?: readonly { readonly text: string; readonly words: string; readonly state?: string }[];
  readonly findings: readonly { readonly number: number; readonly finding: Finding }[];
  /** Line of a finding in the text, from 1. */
  readonly lineOf: (finding: Finding) => number;
  /** What the analysis did not cover. */
  readonly missing: readonly string[];
  /** What was looked at besides the machine as it is. */
  readonly looked: readonly string[];
}

export function writeUpText(input: WriteUpInput, format: WriteUpFormat): string {
  return format === "html" ? htmlOf(pageOf(input)) : markdownOf(pageOf(input));
}

function pageOf(input: WriteUpInput): Page {
  const { machine } = input;
  const sections = [
    { title: "Before you work on it", blocks: [plainList(cautions)] },
    { title: "Circuit", blocks: input.drawings.map(picture) },
    { title: "Program", blocks: input.charts.map(picture) },
    { title: "Loads", blocks: input.loads.flatMap(thing) },
    { title: "Contacts", blocks: input.contacts.flatMap(thing) },
    { title: "Findings at the bench", blocks: benchSection(input.benches ?? []) },
    { title: "What the meter should read", blocks: meterSection(input.tests ?? []) },
    { title: "Wires", blocks: [wires(machine)] },
    { title: "Findings", blocks: findings(input) },
    { title: "What is expected, and whether it holds", blocks: expectations(input) },
    { title: "Proposals", blocks: proposalSection(input.proposals ?? []) },
    { title: "Notes", blocks: notes(input) },
    { title: "The text", blocks: [{ block: "source", fileName: input.fileName, text: input.source } as const] },
  ];
  return {
    title: machine.label,
    opening: opening(machine),
    sections: sections.filter(({ blocks }) => blocks.length > 0),
  };
}

function opening(machine: Machine): string {
  const kinds = new Map<string, number>();
  for (const { kind } of machine.parts) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
  const parts = [...kinds]
    .filter(([kind]) => !["supply", "splice", "frame", "connector"].includes(kind))
    .map(([kind, count]) => (count === 1 ? kind : `${kind} (${count})`));
  return `Supplied with ${machine.supply.text}. Parts: ${parts.join(", ")}. Everything below was calculated over every state that the machine can reach.`;
}

function plainList(lines: readonly string[]): Block {
  return { block: "list", items: lines.map((line) => ({ text: [line] })) };
}

function picture({ svg, words }: { readonly svg: string; readonly words: string }): Block {
  return { block: "picture", svg, words };
}

function thing({ name, what, label, facts }: WrittenThing): Block[] {
  const aside = label === undefined || label === what ? what : `${what}, ${label}`;
  return [
    { block: "heading", text: name, aside },
    { block: "facts", facts },
  ];
}

function wires(machine: Machine): Block {
  const rows = machine.wires
    .filter(({ kind }) => kind !== "internal")
    .map(({ a, b, kind, colour, sizeText, length }) => {
      const cells = [
        machine.terminals[a]!.fullName,
        machine.terminals[b]!.fullName,
        kind,
        colour ?? "",
        sizeText ?? "",
        length === undefined ? "" : `${length} m`,
      ];
      return { cells: cells.map((cell) => [cell]) };
    });
  return { block: "table", heads: ["from", "to", "kind", "colour", "size", "length"], rows };
}

function findings({ findings: all, lineOf, missing, looked }: WriteUpInput): Block[] {
  const told = all.map(({ finding }): Item => {
    const state = finding.state ? ` A state that shows it: ${shownStateText(finding.state)}.` : "";
    const text = [finding.why ?? "", finding.advice].filter((part) => part !== "").join(" ") + state;
    return {
      text: [{ strong: finding.what }, ` ${text}`],
      weight: finding.gravity,
      aside: `line ${lineOf(finding)}, ${finding.id}`,
    };
  });
  const uncovered = missing.map((sentence) => `Not covered: ${sentence}`);
  const nothing = told.length + uncovered.length === 0 ? ["None of these checks found anything."] : [];
  const besides = looked.length > 0 ? [`Looked at besides the machine as it is: ${looked.join(", ")}.`] : [];
  const closing = "“No findings” is not “safe”: it means that none of these checks found anything in what is written.";
  return [
    ...(told.length > 0 ? [{ block: "steps", items: told } as const] : []),
    ...(uncovered.length > 0 ? [plainList(uncovered)] : []),
    ...[...nothing, ...besides, closing].map((text) => ({ block: "text", text: [text] }) as const),
  ];
}

function notes({ machine, photos = new Map() }: WriteUpInput): Block[] {
  const items = machine.notes.map(({ statement }): Item => {
    const subject = [statement.subject?.part?.text, statement.subject?.terminal?.text].filter(
      (part) => part !== undefined,
    );
    const words = `${subject.join(".")}${subject.length > 0 ? ": " : ""}${statement.label?.text ?? ""}`;
    const path = statement.photo?.text;
    const address = path === undefined ? undefined : photos.get(path);
    // The picture itself, so that the page needs no other file; its name alone where it could not be read.
    if (address !== undefined) return { text: [words], photo: { address, words } };
    return { text: path === undefined ? [words] : [words, " ", { emphasis: `(photo ${path}, not in this page)` }] };
  });
  return items.length > 0 ? [{ block: "list", items }] : [];
}

function expectations({ expectations: all = [] }: WriteUpInput): Block[] {
  if (all.length === 0) return [];
  const rows = all.map(({ text, words, state }) => {
    const shown = state === undefined ? "" : ` A state that shows it: ${state}.`;
    return { cells: [[{ code: text }], [words + shown]] };
  });
  return [{ block: "table", heads: [], rows }];
}
