/**
 * Findings of a machine that did not change, told again at the place where it now stands. A file of several machines then costs, per
 * keystroke, the checks of the one machine that is being written and little for the others.
 *
 * A machine counts as unchanged when everything that checks can see is equal, offsets counted from its own first letter: names,
 * values, places, silencers, and the text of its expectations. Comparing whole descriptions, not hashes, keeps a
 * wrong "all clear" out.
 */
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { silencers } from "../checks/silence.ts";
import type { Machine } from "../machine/index.ts";

export interface Kept {
  readonly findings: readonly Finding[];
  readonly missing: readonly string[];
}

interface Entry extends Kept {
  /** Where the machine stood when they were found. */
  readonly origin: number;
}

/** Results by description, the latest last. */
export class KeptFindings {
  readonly #entries = new Map<string, Entry>();

  /** What was found for an equal machine, moved to where this one stands. */
  find(description: string, machine: Machine): Kept | undefined {
    const entry = this.#entries.get(description);
    if (!entry) return undefined;
    this.#entries.delete(description);
    this.#entries.set(description, entry);
    const shift = machine.place.from - entry.origin;
    return { findings: entry.findings.map((finding) => moved(finding, machine.file, shift)), missing: entry.missing };
  }

  keep(description: string, machine: Machine, { findings, missing }: Kept): void {
    this.#entries.set(description, { findings, missing, origin: machine.place.from });
  }

  /** Forgets the oldest beyond so many. */
  trim(most: number): void {
    for (const oldest of this.#entries.keys()) {
      if (this.#entries.size <= most) return;
      this.#entries.delete(oldest);
    }
  }
}

/** Everything of a machine that its findings can depend on, as text; offsets in its own file count from its first letter. */
export function describeMachine(machine: Machine): string {
  const { tree, ...rest } = machine;
  const origin = machine.place.from;
  const relative = (_key: string, value: unknown): unknown => {
    if (typeof value === "number") return Number.isFinite(value) ? value : String(value);
    if (value instanceof Uint8Array) return value.join("");
    if (!isStretch(value) || (value.file !== undefined && value.file !== machine.file)) return value;
    return { ...value, from: value.from - origin, to: value.to - origin };
  };
  const said = machine.expectations.map(({ place }) => tree.text.slice(place.from, place.to));
  const written = tree.text.slice(machine.place.from, machine.place.to);
  return JSON.stringify([written, said, silencers(tree, machine.file), rest], relative);
}

/** A place, or a piece of the tree. */
function isStretch(value: unknown): value is { file?: unknown; from: number; to: number } {
  return (
    typeof value === "object" &&
    value !== null &&
    typeof (value as { from?: unknown }).from === "number" &&
    typeof (value as { to?: unknown }).to === "number"
  );
}

function moved(finding: Finding, file: string, shift: number): Finding {
  if (shift === 0) return finding;
  const move = (place: Place): Place =>
    place.file === file ? { file, from: place.from + shift, to: place.to + shift } : place;
  return {
    ...finding,
    place: move(finding.place),
    related: finding.related.map((one) => ({ ...one, place: move(one.place) })),
    ...(finding.fixes && {
      fixes: finding.fixes.map((fix) => ({
        ...fix,
        edits: fix.edits.map((edit) => ({ ...edit, place: move(edit.place) })),
      })),
    }),
  };
}
