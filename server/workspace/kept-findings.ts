/**
 * Findings of a machine that did not change, told again at the place where it now stands. A file of several machines then costs, per
 * keystroke, the checks of the one machine that is being written and little for the others; and a keystroke in a comment, a
 * note or between words costs no checks at all.
 *
 * A machine counts as unchanged when everything that checks can see is equal but for where it stands, and everything stands in the
 * same order. Comparing whole machines, not hashes, keeps a wrong "all clear" out.
 */
import { type Finding, movedFinding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { type Description, type Seen, samePlaces } from "./descriptions.ts";
import { withLabels } from "./part-labels.ts";

export interface Kept {
  readonly findings: readonly Finding[];
  readonly missing: readonly string[];
  /** What the checks of the later phase looked at. */
  readonly looked?: readonly string[];
}

/** What was found for a machine, as it was seen and where it stood then. */
interface Entry {
  readonly seen: Seen;
  readonly by: number;
  /** Without the labels of parts. */
  readonly kept: Kept;
  labelled?: { readonly labels: readonly string[]; readonly findings: readonly Finding[] };
  /** The labelled ones moved: what was told last. */
  told?: { readonly labelled: readonly Finding[]; readonly by: number; readonly findings: readonly Finding[] };
}

/** Results by kind of machine, the latest last. */
export class KeptFindings {
  readonly #entries = new Map<number, Entry>();

  /** What was found for an equal machine, its labels put in and moved to where this one stands; undefined also when that cannot be told. */
  find(description: Description): Kept | undefined {
    const { kind, seen } = description;
    const known = this.#entries.get(kind);
    if (!known) return undefined;
    const entry = known.seen === seen ? known : movedEntry(known, description);
    if (!entry) return undefined;
    this.#entries.delete(kind);
    this.#entries.set(kind, entry);
    return { ...entry.kept, findings: told(entry, description) };
  }

  /** What checks said of a machine without the labels of its parts: told with them. */
  keep(description: Description, kept: Kept): Kept {
    const { kind, seen, by } = description;
    const entry: Entry = { seen, by, kept };
    this.#entries.delete(kind);
    this.#entries.set(kind, entry);
    return { ...kept, findings: told(entry, description) };
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

/** The same of a machine that is equal, as that one is seen. */
function movedEntry(entry: Entry, { seen, by, file }: Description): Entry | undefined {
  const move = mover(samePlaces(entry.seen, seen, file), file);
  const [before, behind] = [shifter(-entry.by, file), shifter(by, file)];
  const there = (place: Place): Place | undefined => {
    const moved = move?.(before(place));
    return moved && behind(moved);
  };
  const findings = move && movedFindings(entry.kept.findings, there);
  return findings && { seen, by, kept: { ...entry.kept, findings } };
}

/** Findings of an entry with these labels, where the machine stands now. Lists stay the same lists as long as nothing changes. */
function told(entry: Entry, { labels, by, file }: Description): readonly Finding[] {
  if (entry.labelled?.labels !== labels) entry.labelled = { labels, findings: withLabels(entry.kept.findings, labels) };
  const labelled = entry.labelled.findings;
  if (by === entry.by) return labelled;
  if (entry.told?.labelled === labelled && entry.told.by === by) return entry.told.findings;
  const findings = movedFindings(labelled, shifter(by - entry.by, file))!;
  entry.told = { labelled, by, findings };
  return findings;
}

/** Undefined when a place cannot be told. */
function movedFindings(findings: readonly Finding[], move: Move): readonly Finding[] | undefined {
  const all: Finding[] = [];
  for (const finding of findings) {
    const moved = movedFinding(finding, move);
    if (!moved) return undefined;
    all.push(moved);
  }
  return all;
}

function shifter(by: number, file: string): (place: Place) => Place {
  return (place) => (place.file === file ? { file, from: place.from + by, to: place.to + by } : place);
}
