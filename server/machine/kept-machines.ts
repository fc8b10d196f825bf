/** Machines of the text before that stand word for word in the text of now, perhaps elsewhere: taken over instead of made anew. */
import { moveNodes } from "../../grammar/move-nodes.ts";
import { carriedOver } from "../../grammar/reparse.ts";
import type { Statement, Tree } from "../../grammar/tree.ts";
import type { Machine } from "./machine.ts";

/** A file as it was resolved before. */
export interface ResolvedBefore {
  readonly tree: Tree;
  readonly machines: readonly Machine[];
}

/** Where a machine was taken from, and by how many characters all its places moved. */
export interface Origin {
  readonly machine: Machine;
  readonly by: number;
}

const origins = new WeakMap<Machine, Origin>();

/** The machine of the text before that this one was taken over from; undefined when it was made anew. */
export function originOf(machine: Machine): Origin | undefined {
  return origins.get(machine);
}

/**
 * Takes machines over by the place where they now stand. Only for files whose machines lean on nothing outside their own stretch of text:
 * no types, no other files.
 */
export function machinesKept(
  tree: Tree,
  { tree: was, machines }: ResolvedBefore,
): (place: Machine["place"]) => Machine | undefined {
  const carried = carriedOver(tree);
  if (carried?.before !== was || !leansOnNothing(was) || !leansOnNothing(tree)) return () => undefined;
  const { from, to, by, back } = carried;
  return (place) => {
    const moved = place.from >= to ? by : place.to <= from ? 0 : undefined;
    if (moved === undefined) return undefined;
    const machine = machines.find(
      (each) => each.place.from === place.from - moved && each.place.to === place.to - moved,
    );
    if (!machine) return undefined;
    const taken = moved === 0 ? { ...machine, tree } : movedMachine(machine, tree, moved, back);
    origins.set(taken, { machine, by: moved });
    // Where that one came from in turn is of no use to anybody.
    origins.delete(machine);
    return taken;
  };
}

/** Each machine of such a file is what it is by its own stretch of text alone. */
export function leansOnNothing({ statements }: Tree): boolean {
  return !statements.some(({ statement }) => statement === "type" || statement === "use");
}

/** Statements stand in the tree of now already. */
function movedMachine(
  machine: Machine,
  tree: Tree,
  by: number,
  back: { readonly before: number; readonly after: number },
): Machine {
  const statements = new Map<unknown, Statement>();
  for (let index = back.before; index < machine.tree.statements.length; index++)
    statements.set(machine.tree.statements[index]!, tree.statements[index - back.before + back.after]!);
  const { tree: _, ...rest } = machine;
  return { ...moveNodes(rest, by, (value) => statements.get(value)), tree };
}
