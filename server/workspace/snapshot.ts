import type { FileView } from "../editor/view.ts";

/** One version of one document with what is known of it so far. Never changed: later phases make a new one. */
export interface Snapshot extends FileView {
  readonly version: number;
  /** `text`: files named by `use` are still on their way. `names`: every-state analysis still runs. `states`: all done. */
  readonly phase: "text" | "names" | "states";
  /** What the analysis did not cover, as plain sentences. */
  readonly missing: readonly string[];
  /** Keys of the files it was made from beside its own text, also of those not found. */
  readonly uses: ReadonlySet<string>;
}
