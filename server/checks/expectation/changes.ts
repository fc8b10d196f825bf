/** States at rest that a series of single changes leads to, and one way there that a person can follow. */
import type { ShownState } from "../../base/finding.ts";
import { describePosition } from "../../machine/describe.ts";
import type { ControlId, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { position, shown } from "../ask.ts";
import { controlName } from "../words.ts";

export type Changes = readonly { readonly control: ControlId; readonly position: number }[];

/**
 * The reachable states at rest after each change, in order; undefined when the engine cannot tell. A change that cannot be made in
 * some state leads nowhere from it; one that is made already changes nothing.
 */
export function after(engine: Engine, from: Region, changes: Changes): Region[] | undefined {
  const regions: Region[] = [];
  let at = from;
  for (const { control, position: to } of changes) {
    const next = engine.moved?.(at, control, to);
    if (next === undefined) return undefined;
    regions.push(next);
    at = next;
  }
  return regions;
}

/**
 * One state of `from` from which the changes can lead into `bad`: narrowed control by control, at rest where that serves. The
 * state told is the one it ends in.
 */
export function wayInto(
  engine: Engine,
  from: Region,
  changes: Changes,
  bad: Region,
): { state: MachineState; told: ShownState } | undefined {
  const { machine } = engine.circuit;
  const end = (start: Region): Region => engine.and(after(engine, start, changes)?.at(-1) ?? engine.none(), bad);
  let start = from;
  for (const { id, positions, rest } of machine.controls) {
    const order = [rest, ...positions.keys()].filter((at, i) => i === 0 || at !== rest);
    for (const at of order) {
      const narrowed = engine.and(start, engine.where([[{ control: id, positions: position(machine, id, at) }]]));
      if (engine.isEmpty(narrowed) || engine.isEmpty(end(narrowed))) continue;
      start = narrowed;
      break;
    }
  }
  const first = engine.witness(start);
  const state = engine.witness(end(start));
  if (!first || !state) return undefined;
  const path = shown(engine, first).steps;
  const own = changes.map(({ control, position: to }) => {
    const moved = machine.controls[control]!;
    return `${controlName(machine, moved)} ${describePosition(moved, to)}`;
  });
  const { positions } = shown(engine, state);
  return { state, told: path === undefined ? { positions } : { positions, steps: [...path, ...own] } };
}

/** Pushes not named in the changes are let go: a person who opens and shuts the door does not hold START meanwhile. */
export function handsOff(engine: Engine, named: ReadonlySet<ControlId>): Region {
  const { machine } = engine.circuit;
  const literals = machine.controls
    .filter(({ id, role }) => role === "push" && !named.has(id))
    .map(({ id, rest }) => ({ control: id, positions: position(machine, id, rest) }));
  return literals.length > 0 ? engine.where([literals]) : engine.all();
}
