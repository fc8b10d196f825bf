import type { FileView } from "../editor/view.ts";

const phases = ["text", "names", "states", "all"] as const;

/**
 * How far a snapshot has come. `text`: files named by `use` are still on their way. `names`: every-state analysis still runs. `states`:
 * it is done, and so are the main checks. `all`: so are those that analyse changed machines (lost neutral, faults to the case).
 */
export type Phase = (typeof phases)[number];

export function isAtLeast(phase: Phase, wanted: Phase): boolean {
  return phases.indexOf(phase) >= phases.indexOf(wanted);
}

/** One version of one document with what is known of it so far. Never changed: later phases make a new one. */
export interface Snapshot extends FileView {
  readonly version: number;
  readonly phase: Phase;
  /** The last phase that found something. */
  readonly deepest: Phase;
  /** What the analysis did not cover, as plain sentences. */
  readonly missing: readonly string[];
  /** Keys of the files it was made from beside its own text, also of those not found. */
  readonly uses: ReadonlySet<string>;
}
