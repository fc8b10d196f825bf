/** States that never come to rest: MEANING.md, "Chatter". */
import type { ControlId } from "../../server/machine/machine.ts";
import type { Chatter } from "../../server/states/engine.ts";
import type { Walk } from "./walk.ts";

/** Numbers of the states from which settling cannot reach a state at rest any more. */
export function restless(walk: Walk): Set<number> {
  const { found } = walk;
  const before: number[][] = found.map(() => []);
  found.forEach((state, index) => {
    if (!state.atRest) for (const next of state.next) before[next]!.push(index);
  });
  // What the budget left open may come to rest for all we know.
  const hopeful = found.map((state) => state.atRest || !state.expanded);
  const queue = found.flatMap((_, index) => (hopeful[index] ? [index] : []));
  for (let index = queue.pop(); index !== undefined; index = queue.pop()) {
    for (const earlier of before[index]!) {
      if (hopeful[earlier]) continue;
      hopeful[earlier] = true;
      queue.push(earlier);
    }
  }
  return new Set(found.flatMap((_, index) => (hopeful[index] ? [] : [index])));
}

/** One report for each set of controls that keep changing, with a state nearest to rest. */
export function chattersOf(walk: Walk): Chatter[] {
  const reports = new Map<string, Chatter>();
  const left = restless(walk);
  // A state lies in a closed set exactly when everything that it leads to leads back to it. The sets are few and small
  // (settled controls only, inputs fixed), so each is simply walked.
  for (const index of [...left].sort((a, b) => a - b)) {
    if (!left.has(index)) continue;
    const ahead = reach(walk, index);
    if (![...ahead].every((other) => other === index || reach(walk, other).has(index))) continue;
    for (const other of ahead) left.delete(other);
    const controls = changing(walk, ahead);
    const key = controls.join(" ");
    if (!reports.has(key)) reports.set(key, { state: walk.stateOf(index).slice(), controls });
  }
  return [...reports.values()];
}

function reach(walk: Walk, from: number): Set<number> {
  const seen = new Set([from]);
  for (const index of seen) for (const next of walk.found[index]!.next) seen.add(next);
  return seen;
}

function changing(walk: Walk, states: Set<number>): ControlId[] {
  const controls = new Set<ControlId>();
  const first = walk.stateOf(Math.min(...states));
  for (const index of states) {
    walk.stateOf(index).forEach((position, control) => {
      if (position !== first[control]) controls.add(control);
    });
  }
  return [...controls].sort((a, b) => a - b);
}
