/** Where a rewire shows in a drawing: parts that are new, gone or another, and ends of parts that are wired elsewhere. */
import { buildCircuit } from "../circuit/build.ts";
import type { Machine, TerminalId } from "../machine/machine.ts";
import type { Difference } from "./difference.ts";
import { renamedText } from "./rename.ts";
import { factsByName } from "./same-circuit.ts";

/** `new` and `gone` parts, parts that are `other` ones or have other plates, and those that only `work` otherwise. */
export type PartMark = "new" | "gone" | "other" | "works";

export interface PathMarks {
  /** By the name of the contact or load. */
  readonly parts: ReadonlyMap<string, PartMark>;
  /** Terminals whose connection is another one. */
  readonly ends: ReadonlySet<TerminalId>;
}

/** Marks for the drawing of the base, and for that of the changed machine. */
export function changedPaths(
  one: Machine,
  two: Machine,
  renames: ReadonlyMap<string, string>,
  difference: Difference,
): readonly [PathMarks, PathMarks] {
  const now = (name: string) => [...renames].reduce((text, [from, to]) => renamedText(text, from, to), name);
  const was = new Map<string, string>();
  for (const { name } of [...one.contacts, ...one.loads]) was.set(now(name), name);
  const [before, after] = [new Map<string, PartMark>(), new Map<string, PartMark>()];
  const mark = (name: string, as: PartMark) => {
    const old = was.get(name);
    if (old !== undefined && !before.has(old)) before.set(old, as);
    if (!after.has(name)) after.set(name, as);
  };
  const [facts, others] = [factsByName(one), factsByName(two)];
  const there = new Set([...facts.keys()].map(now));
  for (const [name, fact] of others) {
    if (!there.has(name)) after.set(name, "new");
    else if (renames.size === 0 && facts.get(name) !== fact) mark(name, "other");
  }
  for (const name of facts.keys()) if (!others.has(now(name))) before.set(name, "gone");
  // The lists name loads with their labels.
  for (const { load, change } of difference.loads) if (change === "changed") mark(load.split(" (")[0]!, "works");
  const [ends, otherEnds] = movedEnds(one, two, now);
  return [
    { parts: before, ends },
    { parts: after, ends: otherEnds },
  ];
}

/**
 * Terminals that left the connection they were on. Each connection of the changed machine goes on one of the base: that with which it
 * shares a supply leg, else most terminals; who came from another one has moved.
 */
function movedEnds(one: Machine, two: Machine, now: (name: string) => string): [Set<TerminalId>, Set<TerminalId>] {
  const [a, b] = [buildCircuit(one).jointOf, buildCircuit(two).jointOf];
  const other = new Map(two.terminals.map(({ id, fullName }) => [fullName, id]));
  const both = one.terminals.flatMap(({ id, fullName }): [TerminalId, TerminalId][] => {
    const found = other.get(now(fullName));
    return found === undefined ? [] : [[id, found]];
  });
  const legs = new Set(one.supply.legs.map(({ terminal }) => terminal));
  const shares = new Map<number, Map<number, number>>();
  for (const [x, y] of both) {
    const of = shares.get(b[y]!) ?? new Map<number, number>();
    // A leg outweighs any number of terminals.
    of.set(a[x]!, (of.get(a[x]!) ?? 0) + (legs.has(x) ? both.length : 1));
    shares.set(b[y]!, of);
  }
  const came = new Map(
    [...shares].map(([joint, of]) => [joint, [...of].sort((p, q) => q[1] - p[1] || p[0] - q[0])[0]![0]]),
  );
  // A connection that is split goes on in its largest piece.
  const goesOn = new Map<number, number>();
  for (const [joint, from] of came) {
    const known = goesOn.get(from);
    const weight = (of: number) => shares.get(of)!.get(from)!;
    if (known === undefined || weight(joint) > weight(known)) goesOn.set(from, joint);
  }
  const moved = both.filter(([x, y]) => came.get(b[y]!) !== a[x] || goesOn.get(a[x]!) !== b[y]);
  return [new Set(moved.map(([x]) => x)), new Set(moved.map(([, y]) => y))];
}
