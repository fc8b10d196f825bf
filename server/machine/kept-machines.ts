/** Machines of the text before that stand word for word in the text of now, perhaps elsewhere: taken over instead of made anew. */

import { carriedOver } from "../../grammar/reparse.ts";
import { hasStatement } from "../../grammar/statement-list.ts";
import type { Statement, Tree } from "../../grammar/tree.ts";
import { Beside } from "../base/beside.ts";
import { LazyFields } from "../base/lazy-fields.ts";
import { amendedMachine, amendmentOf, statementsOfNow } from "./amended-machine.ts";
import type { Machine } from "./machine.ts";
import { fieldMoves, moveAll, Shift } from "./shift.ts";
import { shareStructure } from "./structure.ts";

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

const origins = new Beside<Machine, Origin>();

/** The machine of the text before that this one was taken over from; undefined when it was made anew. */
export function originOf(machine: Machine): Origin | undefined {
  return origins.get(machine);
}

/**
 * Takes machines over by the place where they now stand, as they were or with what an edit changed in them. Only for files whose machines lean on
 * nothing outside their own stretch of text: no types, no other files.
 */
export function machinesKept(
  tree: Tree,
  { tree: was, machines }: ResolvedBefore,
): (place: Machine["place"]) => Machine | undefined {
  const carried = carriedOver(tree);
  if (carried?.before !== was || !leansOnNothing(was) || !leansOnNothing(tree)) return () => undefined;
  const { from, to, by, back } = carried;
  const find = (start: number, end: number) => machines.find(({ place }) => place.from === start && place.to === end);
  return (place) => {
    const moved = place.from >= to ? by : place.to <= from ? 0 : undefined;
    if (moved === undefined) {
      const machine = place.from <= from && to <= place.to ? find(place.from, place.to - by) : undefined;
      const amendment = machine && amendmentOf(tree, carried);
      return amendment && amendedMachine(machine, tree, amendment);
    }
    const machine = find(place.from - moved, place.to - moved);
    if (!machine) return undefined;
    const statementsBy = place.from >= to ? back.after - back.before : 0;
    const stays = moved === 0 && !movedSince.has(machine);
    const taken = stays ? { ...machine, tree } : movedMachine(machine, tree, moved, statementsBy);
    origins.set(taken, { machine, by: moved });
    shareStructure(taken, machine);
    // Where that one came from in turn is of no use to anybody.
    origins.delete(machine);
    return taken;
  };
}

/** Each machine of such a file is what it is by its own stretch of text alone. */
export function leansOnNothing(tree: Tree): boolean {
  return !hasStatement(tree, "type", "use");
}

/** A machine that moved, as the text had it in which it was made. */
interface Moved {
  readonly made: Machine;
  /** By so many characters its places moved since, and by so many its statements in their tree. */
  readonly by: number;
  readonly statementsBy: number;
}

const movedSince = new Beside<Machine, Moved>();

const movingFields = new LazyFields<Pick<Machine, keyof typeof fieldMoves>>(
  ...(Object.keys(fieldMoves) as (keyof typeof fieldMoves)[]),
);

const statementFields: ReadonlySet<string> = new Set(["expectations", "notes", "proposals", "benchFindings"]);

/** Their statements stand in the tree of now already. */
function holdsStatements(name: string, _moved: unknown): _moved is readonly { readonly statement: Statement }[] {
  return statementFields.has(name);
}

/** Its things are moved when somebody asks for them: with most keystrokes nobody does before the next one. */
function movedMachine(machine: Machine, tree: Tree, by: number, statementsBy: number): Machine {
  const before = movedSince.get(machine) ?? { made: machine, by: 0, statementsBy: 0 };
  const since: Moved = { made: before.made, by: before.by + by, statementsBy: before.statementsBy + statementsBy };
  const { made } = since;
  const shift = new Shift(moveAll(since.by), made.file);
  const taken: Machine = movingFields.add(
    { label: made.label, file: made.file, tree, place: shift.place(made.place) },
    (name) => {
      const move = fieldMoves[name] as unknown as (shift: Shift, value: Machine[typeof name]) => Machine[typeof name];
      const moved = move(shift, made[name]);
      return holdsStatements(name, moved)
        ? (moved.map(statementsOfNow(made.tree, tree, since.statementsBy)) as unknown as typeof moved)
        : moved;
    },
  );
  movedSince.set(taken, since);
  return taken;
}
