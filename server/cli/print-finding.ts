/** Findings as a good compiler prints them: place, what, the line with a mark, why, what to do, a state that shows it. */
import { type Finding, type Gravity, shownStateText } from "../base/finding.ts";
import { folded, type Paint } from "./paint.ts";
import type { SourceLines } from "./source-lines.ts";

export type LinesOf = (file: string) => SourceLines | undefined;

const words: Record<Gravity, string> = { error: "error", warning: "warning", information: "note", hint: "hint" };

export function printedFinding(finding: Finding, linesOf: LinesOf, paint: Paint): string[] {
  const { place, gravity, id } = finding;
  const colour = gravity === "error" ? paint.error : gravity === "warning" ? paint.warning : paint.information;
  const lines = linesOf(place.file);
  const out = [
    `${where(place, linesOf)}: ${colour(words[gravity])}: ${paint.strong(finding.what)} ${paint.faint(`[${id}]`)}`,
  ];
  if (lines) {
    const number = String(lines.at(place.from).line);
    const [source, marks] = lines.marked(place.from, place.to);
    out.push(`  ${number} | ${source}`, `  ${" ".repeat(number.length)} | ${colour(marks)}`);
  }
  if (finding.why) out.push(...folded(finding.why, "    "));
  out.push(...folded(finding.advice, "    "));
  if (finding.state) {
    out.push(...folded(`A state that shows it: ${shownStateText(finding.state)}.`, "    "));
    const steps = finding.state.steps ?? [];
    if (steps.length > 0) out.push(...folded(`How to get there: ${steps.join("; ")}.`, "    "));
  }
  for (const other of finding.related) out.push(paint.faint(`    ${where(other.place, linesOf)}: ${other.text}`));
  return out;
}

function where(place: { readonly file: string; readonly from: number }, linesOf: LinesOf): string {
  const at = linesOf(place.file)?.at(place.from);
  return at ? `${place.file}:${at.line}:${at.column}` : place.file;
}

interface PlaceData {
  readonly file: string;
  readonly from: { readonly line: number; readonly column: number } | undefined;
  readonly to: { readonly line: number; readonly column: number } | undefined;
}

/** A finding for programs: lines and columns from 1, columns in characters. */
export interface FindingData extends Pick<Finding, "id" | "gravity" | "what" | "why" | "advice" | "state"> {
  readonly place: PlaceData;
  readonly related: readonly { readonly place: PlaceData; readonly text: string }[];
}

/** For programs: one object a finding, lines and columns from 1. */
export function findingData(finding: Finding, linesOf: LinesOf): FindingData {
  const position = (place: { readonly file: string; readonly from: number; readonly to: number }) => ({
    file: place.file,
    from: linesOf(place.file)?.at(place.from),
    to: linesOf(place.file)?.at(place.to),
  });
  const { id, gravity, what, why, advice, state } = finding;
  return {
    id,
    gravity,
    place: position(finding.place),
    what,
    why,
    advice,
    state,
    related: finding.related.map((other) => ({ place: position(other.place), text: other.text })),
  };
}

/** `2 errors, 1 warning and 3 notes`. */
export function summary(findings: readonly Finding[]): string {
  const counts = (["error", "warning", "information", "hint"] as const).map((gravity) => ({
    word: words[gravity],
    count: findings.filter((finding) => finding.gravity === gravity).length,
  }));
  const said = counts
    .filter(({ count }) => count > 0)
    .map(({ word, count }) => `${count} ${word}${count === 1 ? "" : "s"}`);
  if (said.length === 0) return "no findings";
  return said.length === 1 ? said[0]! : `${said.slice(0, -1).join(", ")} and ${said.at(-1)}`;
}
