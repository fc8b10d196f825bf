/** States that never come to rest (MEANING.md, 11). */
import type { ControlId, MachineState } from "../../machine/machine.ts";
import type { Chatter } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import type { Reach } from "./reach.ts";
import type { Space } from "./space.ts";

/** More settled values than this in restless states are reported together, without telling closed sets apart. */
const MOST_VALUES = 64;

/** Passed-through states from which no state at rest can be reached. */
export function restless(space: Space, { passing, starting, settling, stable }: Reach): StateSet {
  const { diagrams } = space;
  const all = diagrams.or(passing, starting);
  let calm = stable;
  let hopeful: StateSet = EMPTY;
  for (;;) {
    let before: StateSet = EMPTY;
    for (const move of settling) {
      const leads = diagrams.and(move.wants, space.fix(calm, move.control, move.position));
      before = diagrams.or(before, diagrams.and(all, leads));
    }
    const fresh = diagrams.minus(before, hopeful);
    if (fresh === EMPTY) return diagrams.minus(all, hopeful);
    hopeful = diagrams.or(hopeful, fresh);
    calm = diagrams.or(calm, fresh);
  }
}

/** One report for each different set of controls that keep changing. */
export function chattersOf(space: Space, reach: Reach): Chatter[] {
  const { diagrams } = space;
  const left = restless(space, reach);
  if (left === EMPTY) return [];
  const settled = [...new Set(reach.settling.map(({ control }) => control))];
  // Values of the settled controls that occur, each with the inputs it occurs for.
  const values: MachineState[] = [];
  const inputs: StateSet[] = [];
  const free = new Uint8Array(diagrams.arity.length + 1);
  for (const control of settled) free[space.level[control]!] = 1;
  for (let rest = left; rest !== EMPTY && values.length < MOST_VALUES; ) {
    const state = space.nearest(rest)!;
    let here = rest;
    for (const control of settled) here = diagrams.and(here, space.at(control, state[control]!));
    rest = diagrams.minus(rest, here);
    values.push(state);
    inputs.push(diagrams.forget(here, diagrams.levels(free)));
  }
  const n = values.length;
  const same = (a: MachineState, b: MachineState): boolean => settled.every((control) => a[control] === b[control]);
  // leads[v][w]: inputs for which settling leads from value v to value w.
  const leads: StateSet[][] = values.map(() => values.map(() => EMPTY));
  values.forEach((value, v) => {
    for (const move of reach.settling) {
      if (value[move.control] === move.position) continue;
      const next = value.slice();
      next[move.control] = move.position;
      const w = values.findIndex((other) => same(other, next));
      if (w < 0) continue;
      let wants = move.wants;
      for (const control of settled) wants = space.fix(wants, control, value[control]!);
      leads[v]![w] = diagrams.or(leads[v]![w]!, diagrams.and(wants, inputs[v]!));
    }
  });
  for (let via = 0; via < n; via++)
    for (let v = 0; v < n; v++)
      for (let w = 0; w < n; w++)
        leads[v]![w] = diagrams.or(leads[v]![w]!, diagrams.and(leads[v]![via]!, leads[via]![w]!));
  const reports = new Map<string, { state: MachineState; controls: ControlId[]; far: number }>();
  values.forEach((value, v) => {
    // Inside a closed set: whatever it leads to leads back.
    let closed = inputs[v]!;
    for (let w = 0; w < n; w++) closed = diagrams.minus(closed, diagrams.minus(leads[v]![w]!, leads[w]![v]!));
    let groups: { set: StateSet; controls: ControlId[] }[] = [{ set: closed, controls: [] }];
    for (const control of settled) {
      let changes: StateSet = EMPTY;
      for (let w = 0; w < n; w++)
        if (values[w]![control] !== value[control]) changes = diagrams.or(changes, leads[v]![w]!);
      groups = groups
        .flatMap(({ set, controls }) => [
          { set: diagrams.minus(set, changes), controls },
          { set: diagrams.and(set, changes), controls: [...controls, control] },
        ])
        .filter(({ set }) => set !== EMPTY);
    }
    for (const { set, controls } of groups) {
      if (controls.length === 0) continue;
      let states = diagrams.and(set, left);
      for (const control of settled) states = diagrams.and(states, space.at(control, value[control]!));
      const state = space.nearest(states);
      if (state === undefined) continue;
      const far = state.reduce((sum, position, control) => sum + (position === space.rest[control] ? 0 : 1), 0);
      const ids = [...controls].sort((a, b) => a - b);
      const key = ids.join(" ");
      const known = reports.get(key);
      if (known === undefined || far < known.far) reports.set(key, { state, controls: ids, far });
    }
  });
  return [...reports.values()].map(({ state, controls }) => ({ state, controls }));
}
