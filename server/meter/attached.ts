/** Findings blocks of a file with the machine that each is about. */
import type { FindingsStatement, Tree } from "../../grammar/tree.ts";
import { type Locate, type Machine, resolveMachines, resolveUsePath, usedPaths } from "../machine/index.ts";

export interface AttachedFindings {
  readonly statement: FindingsStatement;
  /** The machine that the block stands in; in a file without one, the first machine of the files that it uses. */
  readonly machine: Machine | undefined;
}

/** `own`: the machines of the file itself, resolved already. */
export function attachedFindings(
  files: ReadonlyMap<string, Tree>,
  file: string,
  own: readonly Machine[],
  locate: Locate = resolveUsePath,
): AttachedFindings[] {
  const tree = files.get(file);
  const blocks = tree?.statements.filter((each): each is FindingsStatement => each.statement === "findings") ?? [];
  if (blocks.length === 0) return [];
  const used = own.length > 0 ? undefined : usedMachine(files, file, locate);
  return blocks.map((statement) => ({
    statement,
    machine: own.find(({ place }) => place.from <= statement.from && statement.from <= place.to) ?? own[0] ?? used,
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
