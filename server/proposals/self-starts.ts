/** Loads that start by themselves after a rewire: where a button had to be pressed once, the machine now runs as the controls stand. */

import type { ShownState } from "../base/finding.ts";
import { energised, less, shown } from "../checks/ask.ts";
import type { ControlId, Load, Machine } from "../machine/machine.ts";
import type { ControlMatch, Engine } from "../states/engine.ts";

/**
 * A state in which the load is on in the changed machine whatever was done before, while with the same inputs (all that does not follow from
 * the circuit) the base had it both ways: off, and on once it was started. Undefined when there is none.
 *
 * @param inputs by the base's control ids; what follows from the circuit left out
 */
export function selfStart(
  base: Engine,
  changed: Engine,
  [a, b]: readonly [Load, Load],
  inputs: ReadonlyMap<ControlId, ControlMatch>,
): ShownState | undefined {
  const before = energised(base, a.id);
  const off = less(base, base.all(), before);
  if (base.isEmpty(before) || base.isEmpty(off)) return undefined;
  const either = changed.and(changed.translated!(off, inputs), changed.translated!(before, inputs));
  if (changed.isEmpty(either)) return undefined;
  const now = less(changed, changed.all(), energised(changed, b.id));
  const state = changed.witness(less(changed, either, changed.translated!(now, own(changed.circuit.machine))));
  return state && shown(changed, state);
}

/** Every input of a machine matched with itself. */
function own({ controls }: Machine): ReadonlyMap<ControlId, ControlMatch> {
  return new Map(
    controls
      .filter(({ settled }) => !settled)
      .map(({ id, positions }) => [id, { control: id, positions: positions.map((_, at) => at) }]),
  );
}

/** Matches of those controls only that are inputs in both machines. */
export function inputsOf(
  one: Machine,
  two: Machine,
  matches: ReadonlyMap<ControlId, ControlMatch>,
): ReadonlyMap<ControlId, ControlMatch> {
  return new Map(
    [...matches].filter(([id, { control }]) => !one.controls[id]!.settled && !two.controls[control]!.settled),
  );
}
