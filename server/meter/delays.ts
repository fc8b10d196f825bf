/** What time does to delays: a lock that has long closed when somebody comes to measure, and opens again when its heater dies or the plug is out. */
import type { Circuit, Solution } from "../circuit/circuit.ts";
import { conditionHolds } from "../circuit/condition.ts";
import type { ChangeRule, ControlId, LoadId, LoadTest, MachineState } from "../machine/machine.ts";
import { classesOf } from "../states/moments.ts";

/** Of every delay where time takes it from here: the control with its next position. `dead`: loads that have volts and do nothing. */
export function afterWaiting(
  circuit: Circuit,
  state: MachineState,
  solution: Solution | undefined,
  dead?: ReadonlySet<LoadId>,
): Map<ControlId, number> {
  const { controls, loads } = circuit.machine;
  const delays = controls.filter(({ role }) => role === "delay");
  if (delays.length === 0) return new Map();
  const classes = solution ? classesOf(circuit, solution) : new Uint8Array(loads.length);
  for (const load of dead ?? []) classes[load] = 0;
  const passes = ({ load, atLeast }: LoadTest): boolean => classes[load]! >= (atLeast === "works" ? 2 : 1);
  const happens = ({ from, when, needs, unless }: ChangeRule, at: number): boolean =>
    from[at] === 1 &&
    (!when || conditionHolds(when, state)) &&
    (!needs || needs.some((all) => all.every(passes))) &&
    !unless?.some(passes);
  const found = new Map<ControlId, number>();
  for (const { id, changes = [] } of delays) {
    const rule = changes.find((each) => happens(each, state[id]!));
    if (rule) found.set(id, rule.to.indexOf(1));
  }
  return found;
}
