/**
 * A machine written up in one self-contained HTML file: nothing is fetched, no script runs, it prints well, and the text it was made
 * from can be taken out of it again. The same input gives the same bytes.
 */

import type { BenchReport } from "../base/bench.ts";
import { type Finding, shownStateText } from "../base/finding.ts";
import type { Machine } from "../machine/machine.ts";
import { cautions } from "./cautions.ts";
import { benchSection, meterSection, type WrittenTest } from "./meter-section.ts";
import { proposalSection, type WrittenProposal } from "./proposal-section.ts";
import { style } from "./style.ts";

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
  /** SVG of our own making. */
  readonly drawings: readonly string[];
  readonly charts: readonly string[];
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
}

export function writeUpHtml(input: WriteUpInput): string {
  const { machine } = input;
  const sections = [
    section("Before you work on it", list(cautions)),
    section("Circuit", input.drawings.map(figure).join("\n")),
    ...(input.charts.length > 0 ? [section("Program", input.charts.map(figure).join("\n"))] : []),
    section("Loads", input.loads.map(thing).join("\n")),
    section("Contacts", input.contacts.map(thing).join("\n")),
    section("Findings at the bench", benchSection(input.benches ?? [], escaped)),
    section("What the meter should read", meterSection(input.tests ?? [], escaped)),
    section("Wires", wires(machine)),
    section("Findings", findings(input)),
    section("What is expected, and whether it holds", expectations(input)),
    section("Proposals", proposalSection(input.proposals ?? [], escaped)),
    section("Notes", notes(input)),
    section("The text", sourceText(input)),
  ];
  return [
    "<!doctype html>",
    '<html lang="en">',
    "<head>",
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escaped(machine.label)}</title>`,
    `<style>${style}</style>`,
    "</head>",
    "<body>",
    `<h1>${escaped(machine.label)}</h1>`,
    `<p>${escaped(opening(machine))}</p>`,
    ...sections.filter((html) => html !== ""),
    "</body>",
    "</html>",
    "",
  ].join("\n");
}

function opening(machine: Machine): string {
  const kinds = new Map<string, number>();
  for (const { kind } of machine.parts) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
  const parts = [...kinds]
    .filter(([kind]) => !["supply", "splice", "frame", "connector"].includes(kind))
    .map(([kind, count]) => (count === 1 ? `one ${kind}` : `${count} of the kind ${kind}`));
  return `Supplied with ${machine.supply.text}. Made of ${parts.join(", ")}. Everything below was calculated over every state that the machine can reach.`;
}

function section(title: string, body: string): string {
  return body === "" ? "" : `<section>\n<h2>${escaped(title)}</h2>\n${body}\n</section>`;
}

function list(lines: readonly string[]): string {
  return `<ul>\n${lines.map((line) => `<li>${escaped(line)}</li>`).join("\n")}\n</ul>`;
}

function figure(svg: string): string {
  return `<figure>${svg.replace(/^<\?xml[^>]*\?>\s*/, "")}</figure>`;
}

function thing({ name, what, label, facts }: WrittenThing): string {
  const rows = facts.map((fact) => `<tr><th scope="row">${escaped(fact.name)}</th><td>${escaped(fact.text)}</td></tr>`);
  const said = label === undefined || label === what ? what : `${what}, ${label}`;
  return `<h3>${escaped(name)} <small>${escaped(said)}</small></h3>\n<table>${rows.join("")}</table>`;
}

function wires(machine: Machine): string {
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
      return `<tr>${cells.map((cell) => `<td>${escaped(cell)}</td>`).join("")}</tr>`;
    });
  const heads = ["from", "to", "kind", "colour", "size", "length"].map((head) => `<th scope="col">${head}</th>`);
  return `<table><thead><tr>${heads.join("")}</tr></thead><tbody>${rows.join("")}</tbody></table>`;
}

function findings({ findings, lineOf, missing }: WriteUpInput): string {
  const told = findings.map(({ number, finding }) => {
    const state = finding.state ? ` A state that shows it: ${shownStateText(finding.state)}.` : "";
    const text = [finding.why ?? "", finding.advice].filter((part) => part !== "").join(" ") + state;
    return `<li class="${finding.gravity}" value="${number}"><strong>${escaped(finding.what)}</strong> ${escaped(text)} <small>line ${lineOf(finding)}, ${escaped(finding.id)}</small></li>`;
  });
  const uncovered = missing.map((sentence) => `<li>Not covered: ${escaped(sentence)}</li>`);
  const numbered = told.length > 0 ? `<ol>\n${told.join("\n")}\n</ol>\n` : "";
  const plain = uncovered.length > 0 ? `<ul>\n${uncovered.join("\n")}\n</ul>\n` : "";
  const closing =
    "<p>“No findings” is not “safe”: it means that none of these checks found anything in what is written.</p>";
  return (numbered + plain === "" ? "<p>None of these checks found anything.</p>\n" : numbered + plain) + closing;
}

function notes({ machine, photos = new Map() }: WriteUpInput): string {
  const rows = machine.notes.map(({ statement }) => {
    const subject = [statement.subject?.part?.text, statement.subject?.terminal?.text].filter(
      (part) => part !== undefined,
    );
    const words = `${subject.join(".")}${subject.length > 0 ? ": " : ""}${statement.label?.text ?? ""}`;
    return `<li>${escaped(words)}${statement.photo ? photo(statement.photo.text, words, photos) : ""}</li>`;
  });
  return rows.length > 0 ? `<ul>\n${rows.join("\n")}\n</ul>` : "";
}

/** The picture itself, so that the page needs no other file; its name alone where it could not be read. */
function photo(path: string, words: string, photos: ReadonlyMap<string, string>): string {
  const address = photos.get(path);
  if (address === undefined) return ` <em>${escaped(`(photo ${path}, not in this page)`)}</em>`;
  return `<br><img src="${escaped(address)}" alt="${escaped(words)}">`;
}

function expectations({ expectations: all = [] }: WriteUpInput): string {
  if (all.length === 0) return "";
  const rows = all.map(({ text, words, state }) => {
    const shown = state === undefined ? "" : ` A state that shows it: ${state}.`;
    return `<tr><td><code>${escaped(text)}</code></td><td>${escaped(words + shown)}</td></tr>`;
  });
  return `<table>\n${rows.join("\n")}\n</table>`;
}

function sourceText({ source, fileName }: WriteUpInput): string {
  const address = `data:text/plain;charset=utf-8,${encodeURIComponent(source)}`;
  return `<p><a download="${escaped(fileName)}" href="${escaped(address)}">Save the text as ${escaped(fileName)}</a></p>\n<pre>${escaped(source)}</pre>`;
}

function escaped(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");
}
