/**
 * Findings of a machine that did not change, told again at the place where it now stands. A file of several machines then costs, per
 * keystroke, the checks of the one machine that is being written and little for the others; and a keystroke in a comment, a
 * note or between words costs no checks at all.
 *
 * A machine counts as unchanged when everything that checks can see is equal but for where it stands, and everything stands in the
 * same order. Comparing whole descriptions, not hashes, keeps a wrong "all clear" out.
 */
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { silencers } from "../checks/silence.ts";
import type { Machine } from "../machine/index.ts";

export interface Kept {
  readonly findings: readonly Finding[];
  readonly missing: readonly string[];
  /** What the checks of the later phase looked at. */
  readonly looked?: readonly string[];
}

/** What checks can see of a machine: words without offsets, and the offsets in the order in which they were met. */
export interface Description {
  readonly words: string;
  readonly offsets: readonly number[];
  readonly file: string;
  /** An equal description of the text before, from which every offset moved by so many characters. */
  readonly since?: { readonly offsets: readonly number[]; readonly by: number };
}

interface Entry extends Kept {
  readonly offsets: readonly number[];
}

/** Results by description, the latest last. */
export class KeptFindings {
  readonly #entries = new Map<string, Entry>();

  /** What was found for an equal machine, moved to where this one stands; undefined also when that cannot be told. */
  find(description: Description): Kept | undefined {
    const { words, offsets } = description;
    const entry = this.#entries.get(words);
    if (!entry) return undefined;
    const findings = entry.offsets === offsets ? entry.findings : movedFindings(entry, description);
    if (!findings) return undefined;
    // As it stands now, since the next text differs from this one.
    const { missing, looked } = entry;
    const kept: Kept = { findings, missing, ...(looked ? { looked } : {}) };
    this.keep(description, kept);
    return kept;
  }

  keep({ words, offsets }: Description, kept: Kept): void {
    this.#entries.delete(words);
    this.#entries.set(words, { ...kept, offsets });
  }

  /** Forgets the oldest beyond so many. */
  trim(most: number): void {
    for (const oldest of this.#entries.keys()) {
      if (this.#entries.size <= most) return;
      this.#entries.delete(oldest);
    }
  }
}

/** The description of an equal machine all of whose places moved by so many characters. */
export function movedDescription({ words, offsets, file }: Description, by: number): Description {
  if (by === 0) return { words, offsets, file };
  return { words, offsets: offsets.map((offset) => offset + by), file, since: { offsets, by } };
}

/** Everything of a machine that its findings can depend on. */
export function describeMachine(machine: Machine): Description {
  const { tree, label, place, notes, proposals, benchFindings, mentions, findings, ...rest } = machine;
  // Checks ask of earlier findings only which parts are unused and whether there is an error; what is noted or proposed they do not look at.
  const unused = findings.filter(({ id }) => id === "unused-part").map((finding) => finding.place);
  const said = machine.expectations.map((one) => tree.text.slice(one.place.from, one.place.to).replace(/\s+/g, " "));
  const writer = new Writer(machine.file);
  const broken = findings.some(({ gravity }) => gravity === "error");
  writer.value([place, unused, broken, said, rest]);
  // What a silencer silences hangs on lines, so with one in the file nothing may have moved.
  const silencing = silencers(tree, machine.file);
  if (silencing.length > 0) {
    const from = place.from;
    writer.value([
      tree.text.slice(place.from, place.to),
      silencing.map(({ id, reason, from: a, to: b }) => [id, reason, a - from, b - from]),
    ]);
  }
  return { words: writer.words(), offsets: writer.offsets, file: machine.file };
}

class Writer {
  readonly offsets: number[] = [];
  #words = "";
  readonly #file: string;
  constructor(file: string) {
    this.#file = file;
  }

  words(): string {
    return this.#words;
  }

  value(value: unknown): void {
    switch (typeof value) {
      case "string":
        this.#words += JSON.stringify(value);
        return;
      case "object":
        if (value === null) this.#words += "n";
        else if (Array.isArray(value)) {
          this.#words += "[";
          for (const each of value) {
            this.value(each);
            this.#words += ",";
          }
          this.#words += "]";
        } else if (value instanceof Uint8Array) this.#words += `u${value.join("")}`;
        else this.#record(value as Record<string, unknown>);
        return;
      default:
        this.#words += String(value);
    }
  }

  #record(record: Record<string, unknown>): void {
    const { from, to, file } = record;
    const here = typeof from === "number" && typeof to === "number" && (file === undefined || file === this.#file);
    if (here) this.offsets.push(from, to);
    this.#words += here ? "@{" : "{";
    for (const name in record) {
      if (here && (name === "from" || name === "to")) continue;
      const value = record[name];
      if (value === undefined) continue;
      this.#words += `${name}:`;
      this.value(value);
      this.#words += ",";
    }
    this.#words += "}";
  }
}

type Move = (place: Place) => Place | undefined;

/** From places of the old text to those of the new one; undefined unless everything stands in the same order. */
function mover(before: readonly number[], after: readonly number[], file: string): Move | undefined {
  if (before.length !== after.length) return undefined;
  const to = new Map<number, number>();
  for (let i = 0; i < before.length; i++) {
    const known = to.get(before[i]!);
    if (known === undefined) to.set(before[i]!, after[i]!);
    else if (known !== after[i]) return undefined;
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

function movedFindings(entry: Entry, { offsets, file, since }: Description): readonly Finding[] | undefined {
  const move = since?.offsets === entry.offsets ? shifter(since.by, file) : mover(entry.offsets, offsets, file);
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
