/**
 * Findings of a machine that did not change, told again at the place where it now stands. A file of several machines then costs, per
 * keystroke, the checks of the one machine that is being written and little for the others; and a keystroke in a comment, a
 * note or between words costs no checks at all.
 *
 * A machine counts as unchanged when everything that checks can see is equal but for where it stands, and everything stands in the
 * same order. Comparing whole machines, not hashes, keeps a wrong "all clear" out.
 */
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { type Description, type Seen, samePlaces } from "./descriptions.ts";

export interface Kept {
  readonly findings: readonly Finding[];
  readonly missing: readonly string[];
  /** What the checks of the later phase looked at. */
  readonly looked?: readonly string[];
}

interface Entry extends Kept {
  /** The machine that the findings stand in. */
  readonly seen: Seen;
}

/** Results by kind of machine, the latest last. */
export class KeptFindings {
  readonly #entries = new Map<number, Entry>();

  /** What was found for an equal machine, moved to where this one stands; undefined also when that cannot be told. */
  find(description: Description): Kept | undefined {
    const { kind, seen } = description;
    const entry = this.#entries.get(kind);
    if (!entry) return undefined;
    const findings = entry.seen === seen ? entry.findings : movedFindings(entry, description);
    if (!findings) return undefined;
    // As it stands now, since the next text differs from this one.
    const { missing, looked } = entry;
    const kept: Kept = { findings, missing, ...(looked ? { looked } : {}) };
    this.keep(description, kept);
    return kept;
  }

  keep({ kind, seen }: Description, kept: Kept): void {
    this.#entries.delete(kind);
    this.#entries.set(kind, { ...kept, seen });
  }

  /** Forgets the oldest beyond so many. */
  trim(most: number): void {
    for (const oldest of this.#entries.keys()) {
      if (this.#entries.size <= most) return;
      this.#entries.delete(oldest);
    }
  }
}

type Move = (place: Place) => Place | undefined;

/** From places of the old text to those of the new one; undefined unless everything stands in the same order. */
function mover(pairs: readonly number[] | undefined, file: string): Move | undefined {
  if (!pairs) return undefined;
  const to = new Map<number, number>();
  for (let i = 0; i < pairs.length; i += 2) {
    const known = to.get(pairs[i]!);
    if (known === undefined) to.set(pairs[i]!, pairs[i + 1]!);
    else if (known !== pairs[i + 1]) return undefined;
  }
  const olds = [...to.keys()].sort((a, b) => a - b);
  for (let i = 1; i < olds.length; i++) if (to.get(olds[i - 1]!)! >= to.get(olds[i]!)!) return undefined;
  return (place) => {
    if (place.file !== file) return place;
    const from = to.get(place.from);
    const end = to.get(place.to);
    return from === undefined || end === undefined ? undefined : { file, from, to: end };
  };
}

function movedFindings(entry: Entry, { seen, file, since }: Description): readonly Finding[] | undefined {
  const move = since?.seen === entry.seen ? shifter(since.by, file) : mover(samePlaces(entry.seen, seen, file), file);
  if (!move) return undefined;
  const findings: Finding[] = [];
  for (const finding of entry.findings) {
    const moved = movedFinding(finding, move);
    if (!moved) return undefined;
    findings.push(moved);
  }
  return findings;
}

function shifter(by: number, file: string): Move {
  return (place) => (place.file === file ? { file, from: place.from + by, to: place.to + by } : place);
}

function movedFinding(finding: Finding, move: Move): Finding | undefined {
  const place = move(finding.place);
  if (!place) return undefined;
  const related: Finding["related"][number][] = [];
  for (const one of finding.related) {
    const moved = move(one.place);
    if (!moved) return undefined;
    related.push({ ...one, place: moved });
  }
  if (!finding.fixes) return { ...finding, place, related };
  const fixes: NonNullable<Finding["fixes"]>[number][] = [];
  for (const fix of finding.fixes) {
    const edits: (typeof fix.edits)[number][] = [];
    for (const edit of fix.edits) {
      const moved = move(edit.place);
      if (!moved) return undefined;
      edits.push({ ...edit, place: moved });
    }
    fixes.push({ ...fix, edits });
  }
  return { ...finding, place, related, fixes };
}
