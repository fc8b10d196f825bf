/**
 * Comments that silence a finding, with a reason:
 *
 *     heater HT 2000 W 240 V    # silence load-without-protector: attended surface element
 *
 * on the line of the finding or on the line above it. A silencer without a reason does not silence; one that silences nothing is a finding itself, so that none
 * outlives its cause.
 */
import type { Comment, Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";

export interface Silencer {
  readonly id: string;
  /** Empty: none was written. */
  readonly reason: string;
  readonly place: Place;
  /** Text stretch in which findings are silenced: its line and the next. */
  readonly from: number;
  readonly to: number;
}

const pattern = /^\s*silence\s+([a-z][a-z0-9-]*)\s*(?::\s*(.*?))?\s*$/;

export function silencers(tree: Tree, file: string): Silencer[] {
  const found: Silencer[] = [];
  for (const comment of tree.comments) {
    const match = pattern.exec(commentText(comment));
    if (!match) continue;
    const lineStart = tree.text.lastIndexOf("\n", comment.from - 1) + 1;
    const alone = tree.text.slice(lineStart, comment.from).trim() === "";
    const lineEnd = endOfLine(tree.text, comment.from);
    found.push({
      id: match[1]!,
      reason: match[2] ?? "",
      place: { file, from: comment.from, to: comment.to },
      from: lineStart,
      // A comment of its own speaks of the line below it, one behind a statement of that statement's line.
      to: alone ? endOfLine(tree.text, endOfStackedComments(tree.text, lineEnd)) : lineEnd,
    });
  }
  return found;
}

function commentText(comment: Comment): string {
  return comment.text.replace(/\r$/, "");
}

function endOfLine(text: string, from: number): number {
  const end = text.indexOf("\n", from);
  return end < 0 ? text.length : end;
}

/** Steps over further comment lines and returns an offset on the first line that is none. */
function endOfStackedComments(text: string, lineEnd: number): number {
  let start = Math.min(lineEnd + 1, text.length);
  while (start < text.length) {
    const end = endOfLine(text, start);
    if (!text.slice(start, end).trim().startsWith("#")) break;
    start = Math.min(end + 1, text.length);
    if (end >= text.length) break;
  }
  return start;
}

export interface SilencerScope {
  /** Findings are told about silencers of this machine's own stretch only; those of other machines of the file are their own. */
  readonly machine: Pick<Machine, "tree" | "file" | "place">;
  /** Ids that may be silenced. */
  readonly known: ReadonlySet<string>;
  /** Ids that have been looked for in this run: a silencer of another id is not called unused. */
  readonly ran: ReadonlySet<string>;
  /** False in a later run over the same text, which would tell ill-written silencers a second time. */
  readonly tellIllWritten: boolean;
}

/**
 * Leaves out the findings that a silencer with a reason names on their line, and adds findings about silencers that give
 * no reason, name no known id, or silence nothing.
 */
export function applySilencers(findings: readonly Finding[], scope: SilencerScope): Finding[] {
  const { file, tree, place } = scope.machine;
  const all = silencers(tree, file);
  if (all.length === 0) return [...findings];
  const used = new Set<Silencer>();
  const kept = findings.filter((finding) => {
    if (finding.place.file !== file) return true;
    const silencer = all.find(
      (s) => s.id === finding.id && s.reason !== "" && s.from <= finding.place.from && finding.place.from <= s.to,
    );
    if (silencer) used.add(silencer);
    return silencer === undefined;
  });
  for (const silencer of all) {
    // By the line it speaks of: a comment above a `machine` line is that machine's.
    if (silencer.to < place.from || silencer.to > place.to) continue;
    const illWritten = !scope.known.has(silencer.id) ? "unknown" : silencer.reason === "" ? "no-reason" : undefined;
    if (illWritten) {
      if (scope.tellIllWritten) kept.push(silencerFinding(silencer, illWritten));
    } else if (!used.has(silencer) && scope.ran.has(silencer.id)) kept.push(silencerFinding(silencer, "unused"));
  }
  return kept;
}

function silencerFinding(silencer: Silencer, trouble: "unknown" | "no-reason" | "unused"): Finding {
  const base = { place: silencer.place, related: [] };
  switch (trouble) {
    case "unknown":
      return {
        ...base,
        id: "silencer-unknown",
        gravity: "warning",
        what: `No check is called ${silencer.id}.`,
        why: "The comment silences nothing.",
        advice: "Write the id as it stands behind the finding.",
      };
    case "no-reason":
      return {
        ...base,
        id: "silencer-without-reason",
        gravity: "warning",
        what: `This comment would silence ${silencer.id}, but gives no reason, so it does not.`,
        why: "The next person must be able to see why the finding does not matter here.",
        advice: `Write the reason behind a colon: # silence ${silencer.id}: why it does not matter here.`,
      };
    case "unused":
      return {
        ...base,
        id: "silencer-unused",
        gravity: "warning",
        unused: true,
        what: `There is no ${silencer.id} here to silence.`,
        why: "Left standing, it would hide the finding if it came back.",
        advice: "Take the comment out, or move it to the line of the finding.",
      };
  }
}
