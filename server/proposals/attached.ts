/** Proposals of a file with the machine that each would change. */
import type { ProposalStatement, Tree } from "../../grammar/tree.ts";
import { type Locate, type Machine, resolveMachines, resolveUsePath, usedPaths } from "../machine/index.ts";

export interface AttachedProposal {
  readonly statement: ProposalStatement;
  /** The machine that it stands in; in a file without one, the first machine of the files that it uses. */
  readonly base: Machine | undefined;
}

/** `own`: the machines of the file itself, resolved already. */
export function attachedProposals(
  files: ReadonlyMap<string, Tree>,
  file: string,
  own: readonly Machine[],
  locate: Locate = resolveUsePath,
): AttachedProposal[] {
  const tree = files.get(file);
  const all = tree?.statements.filter((each): each is ProposalStatement => each.statement === "proposal") ?? [];
  if (all.length === 0) return [];
  const used = own.length > 0 ? undefined : usedMachine(files, file, locate);
  return all.map((statement) => ({
    statement,
    base: own.find(({ place }) => place.from <= statement.from && statement.from < place.to) ?? own[0] ?? used,
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
