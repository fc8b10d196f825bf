/**
 * What every editor answer is computed from: one file at one moment, with as much of the analysis as is ready. The
 * workspace makes these; functions of this room take one and an offset and return plain data, without side effects.
 */
import type { FindingsStatement, ProposalStatement, Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import type { Circuit } from "../circuit/circuit.ts";
import type { Locate } from "../machine/index.ts";
import type { Machine, Mention } from "../machine/machine.ts";
import type { Comparison } from "../proposals/compare.ts";
import type { Engine } from "../states/engine.ts";

/** One machine of the file. `engine` is missing while the every-state analysis still runs. */
export interface MachineView {
  readonly machine: Machine;
  readonly circuit: Circuit;
  readonly engine?: Engine;
}

/** A findings block with the engine of the machine that it is about, which may stand in another file. */
export interface BenchView {
  readonly statement: FindingsStatement;
  readonly engine: Engine;
}

/** A proposal with the machine it would change, and what comes of it. */
export interface ProposalView {
  readonly statement: ProposalStatement;
  readonly base: Machine;
  readonly comparison: Comparison;
  /** Where the files stand that its file's `use` lines name. */
  readonly locate?: Locate;
}

export interface FileView {
  readonly file: string;
  readonly text: string;
  readonly tree: Tree;
  readonly machines: readonly MachineView[];
  readonly findings: readonly Finding[];
  /** Findings blocks in text order; left out until every check is done. */
  readonly benches?: readonly BenchView[];
  /** Proposals in text order; left out until every check is done. */
  readonly proposals?: readonly ProposalView[];
  /** What was looked at besides the machine as it is (`the neutral lost`), to the end or not; left out until every check is done. */
  readonly looked?: { readonly at: readonly string[]; readonly missing: readonly string[] };
  /** Names in types that no machine here uses; their targets are numbered apart from those of the machines. */
  readonly mentions?: readonly Mention[];
  /** This file and all that it uses, directly or not. */
  readonly files?: ReadonlyMap<string, Tree>;
}

/** The machine whose text holds the offset; the first one for text before any machine. */
export function machineAt(view: FileView, offset: number): MachineView | undefined {
  return view.machines[machineIndexAt(view, offset)];
}

/** Its index; 0 for text before any machine. */
export function machineIndexAt({ machines }: FileView, offset: number): number {
  return Math.max(
    0,
    machines.findIndex(({ machine: { place } }) => place.from <= offset && offset <= place.to),
  );
}
