/** Blocks of a file that are about a machine, proposals and findings, each with the machine that it is about. */
import { statementsOf } from "../../grammar/statement-list.ts";
import type { FindingsStatement, ProposalStatement, Statement, Tree } from "../../grammar/tree.ts";
import type { Machine } from "./machine.ts";
import { resolveMachines } from "./resolve.ts";
import { type Locate, resolveUsePath, usedPaths } from "./types.ts";

export interface Attached<Block> {
  readonly statement: Block;
  /** The machine that the block stands in; in a file without one, the first machine of the files that it uses. */
  readonly machine: Machine | undefined;
}

interface Blocks {
  readonly proposal: ProposalStatement;
  readonly findings: FindingsStatement;
}

/** In text order. `own`: the machines of the file itself, resolved already. */
export function attachedBlocks<Word extends keyof Blocks>(
  word: Word,
  files: ReadonlyMap<string, Tree>,
  file: string,
  own: readonly Machine[],
  locate: Locate = resolveUsePath,
): Attached<Blocks[Word]>[] {
  const tree = files.get(file);
  const blocks = tree ? (statementsOf(tree, word) as unknown as (Statement & Blocks[Word])[]) : [];
  if (blocks.length === 0) return [];
  const used = own.length > 0 ? undefined : usedMachine(files, file, locate);
  return blocks.map((statement) => ({
    statement,
    machine: own.find(({ place }) => place.from <= statement.from && statement.from < place.to) ?? own[0] ?? used,
  }));
}

function usedMachine(files: ReadonlyMap<string, Tree>, file: string, locate: Locate): Machine | undefined {
  for (const path of usedPaths(files.get(file)!)) {
    const target = locate(file, path);
    const machine = target === undefined ? undefined : resolveMachines(files, target)[0];
    if (machine) return machine;
  }
  return undefined;
}
