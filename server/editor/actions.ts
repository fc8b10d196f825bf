/** What can be done about the findings at a place: the changes they bring along, and silencing one with a reason. */
import type { Finding, Fix } from "../base/finding.ts";
import { checks } from "../checks/registry.ts";
import type { FileView } from "./view.ts";

export interface Action {
  readonly title: string;
  readonly finding: Finding;
  readonly kind: "fix" | "silence";
  /** May be done without reading it first. */
  readonly safe: boolean;
  readonly edits: Fix["edits"];
}

const silenced: ReadonlySet<string> = new Set(checks.map(({ id }) => id));

/** Actions for findings that touch the stretch. */
export function actions(view: FileView, from: number, to: number): readonly Action[] {
  const here = view.findings.filter(({ place }) => place.file === view.file && place.from <= to && from <= place.to);
  const found: Action[] = [];
  for (const finding of here)
    for (const { title, safe, edits } of finding.fixes ?? []) found.push({ title, finding, kind: "fix", safe, edits });
  for (const finding of here) {
    if (!silenced.has(finding.id)) continue;
    if (
      found.some(
        ({ kind, finding: { id, place } }) =>
          kind === "silence" &&
          id === finding.id &&
          lineOf(view.text, place.from) === lineOf(view.text, finding.place.from),
      )
    )
      continue;
    found.push(silence(view, finding));
  }
  return found;
}

/** The reason is left to be written: until it is, the comment does not silence, and a finding says so. */
function silence({ text, file }: FileView, finding: Finding): Action {
  const line = lineOf(text, finding.place.from);
  const indent = /^[ \t]*/.exec(text.slice(line))![0];
  const end = text.includes("\r\n") ? "\r\n" : "\n";
  return {
    title: `Silence ${finding.id} here, with a reason`,
    finding,
    kind: "silence",
    safe: false,
    edits: [{ place: { file, from: line, to: line }, text: `${indent}# silence ${finding.id}: ${end}` }],
  };
}

function lineOf(text: string, offset: number): number {
  return text.lastIndexOf("\n", offset - 1) + 1;
}
