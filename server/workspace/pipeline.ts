/**
 * The way from a text to its findings, in the steps that the workspace schedules. The real one calls the rooms
 * above; tests put slow or failing ones in its place.
 */
import { statementsOf } from "../../grammar/statement-list.ts";
import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import type { FileView, MachineView } from "../editor/view.ts";
import type { Mention } from "../machine/machine.ts";

/** A file named by `use`, or why there is none. */
export type UsedFile =
  | { readonly file: string; readonly tree: Tree }
  | { readonly missing: "no-folder" | "outside" | "not-relative" | "not-found" };

export interface Source {
  readonly file: string;
  readonly tree: Tree;
  /** The file that `use "path"` in the file `from` means. */
  readonly used: (from: string, path: string) => UsedFile;
}

export interface Named {
  readonly machines: readonly MachineView[];
  /** Findings of writing and naming, of this file only. */
  readonly findings: readonly Finding[];
  /** As in `FileView`. */
  readonly mentions?: readonly Mention[];
  readonly files?: ReadonlyMap<string, Tree>;
}

export interface Analysed {
  /** The same machines, each with its engine. */
  readonly machines: readonly MachineView[];
  /** Findings of the main checks, those of the naming left out. */
  readonly findings: readonly Finding[];
  /** What was not covered, as plain sentences; empty when every state was. */
  readonly missing: readonly string[];
}

/** What the checks of changed machines add, and what is known of benches and proposals. */
export type Later = Pick<Analysed, "findings" | "missing"> & Pick<FileView, "benches" | "proposals" | "looked">;

export interface Pipeline {
  /**
   * Never throws, whatever the text.
   *
   * @param before the tree of the text before, of which what did not change may be taken over
   */
  parse(text: string, before?: Tree): Tree;
  name(source: Source): Named;
  /**
   * Every state, as a series of jobs of a few milliseconds.
   *
   * @param isDue asked between two small jobs: false when they may as well be one
   */
  analyse(source: Source, named: Named, isDue?: () => boolean): Generator<void, Analysed>;
  /** Checks that analyse changed machines, under budgets of their own. */
  later(source: Source, analysed: Analysed, isDue?: () => boolean): Generator<void, Later>;
}

/** Paths that the file's `use` statements name, in text order. */
export function usedPaths(tree: Tree): readonly string[] {
  return statementsOf(tree, "use").flatMap(({ path }) => (path ? [path.text] : []));
}
