/** Findings and mentions of a finished machine: in order, once each, and in the right machine. */
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Draft } from "./draft.ts";
import type { Machine, Mention, Target } from "./machine.ts";
import type { Library } from "./types.ts";

/** What is wrong with a type of another file in this machine is told at the part of that type, the other place beside it. */
export function bringHome(draft: Draft, library: Library): void {
  draft.findings.forEach((finding, index) => {
    const { place } = finding;
    if (place.file === draft.file) return;
    const type = [...library.types].find(
      ([, { statement, file }]) => file === place.file && statement.from <= place.from && place.to <= statement.to,
    )?.[0];
    const part = draft.parts.find((each) => each.type === type);
    draft.findings[index] = {
      ...finding,
      place: part?.namePlace ?? { file: draft.file, from: 0, to: 0 },
      related: [...finding.related, { place, text: type === undefined ? "here" : `in the type ${type}` }],
      fixes: undefined,
    };
  });
}

export function sortMentions(mentions: readonly Mention[]): Mention[] {
  return [...mentions]
    .sort(
      (a, b) =>
        (a.place.file < b.place.file ? -1 : a.place.file > b.place.file ? 1 : 0) ||
        a.place.from - b.place.from ||
        a.place.to - b.place.to ||
        Number(b.defines) - Number(a.defines),
    )
    .filter((mention, index, sorted) => {
      for (let before = index - 1; before >= 0; before--) {
        const other = sorted[before]!;
        if (other.place.from !== mention.place.from || other.place.to !== mention.place.to) return true;
        if (other.place.file === mention.place.file && sameTarget(other.target, mention.target)) return false;
      }
      return true;
    });
}

function sameTarget(a: Target, b: Target): boolean {
  const [one, other] = [a, b] as unknown as Record<string, unknown>[];
  return Object.keys(one!).every((key) => one![key] === other![key]);
}

export function sortFindings(findings: readonly Finding[]): Finding[] {
  return [...findings].sort((a, b) => a.place.from - b.place.from || a.place.to - b.place.to);
}

export function unique(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter((finding) => {
    const key = `${finding.id} ${finding.place.file} ${finding.place.from} ${finding.place.to}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

/**
 * Findings about the file go to the machine whose text they stand in, those before the first to the first. `told`: those that have them already.
 */
export function spreadFindings(
  machines: readonly Machine[],
  findings: readonly Finding[],
  mentions: readonly Mention[],
  told: ReadonlySet<Machine>,
): Machine[] {
  return machines.map((machine, index) => {
    if (told.has(machine)) return machine;
    const own = (place: Place) =>
      place.file === machine.file
        ? machine.place.from <= place.from &&
          (place.from < machine.place.to || (index === machines.length - 1 && place.from >= machine.place.to))
        : index === 0;
    return {
      ...machine,
      findings: sortFindings(unique([...machine.findings, ...findings.filter((finding) => own(finding.place))])),
      mentions: sortMentions([...machine.mentions, ...mentions.filter((mention) => own(mention.place))]),
    };
  });
}
