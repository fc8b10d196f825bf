/** Loads that start by themselves after a rewire: where a button had to be pressed once, the machine now runs as the controls stand. */

import type { ShownState } from "../base/finding.ts";
import { energised, less, position, shown, shownIn } from "../checks/ask.ts";
import type { ControlId, Load, Machine } from "../machine/machine.ts";
import type { ControlMatch, Engine, Region } from "../states/engine.ts";

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

/**
 * A state with every input as it rests in which the load is on in the changed machine, while in the base it never was then: it works as soon
 * as the machine is plugged in, whatever its timer or switch says.
 */
export function onAtRest(base: Engine, changed: Engine, [a, b]: readonly [Load, Load]): ShownState | undefined {
  if (!base.isEmpty(base.and(resting(base), energised(base, a.id)))) return undefined;
  return shownIn(changed, changed.and(resting(changed), energised(changed, b.id)));
}

function resting(engine: Engine): Region {
  const { machine } = engine.circuit;
  const inputs = machine.controls.filter(({ settled }) => !settled);
  return engine.where([inputs.map(({ id, rest }) => ({ control: id, positions: position(machine, id, rest) }))]);
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
