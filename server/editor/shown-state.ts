/** The state that shows a finding, by the names that the chosen state goes by. */
import type { ShownState } from "../base/finding.ts";
import { controlName } from "../checks/words.ts";
import { describePosition } from "../machine/index.ts";
import type { Machine } from "../machine/machine.ts";
import type { NamedState } from "./chosen-state.ts";

/** Controls that it does not name stand at rest. Undefined when it speaks of what the machine has not, as of a fault. */
export function namesOfShown(machine: Machine, { positions }: ShownState): NamedState | undefined {
  const names: Record<string, string> = {};
  for (const { control: called, position } of positions) {
    if (called === "everything" && position === "at rest") continue;
    const control = machine.controls.find((one) => controlName(machine, one) === called);
    const at = control?.positions.findIndex((_, i) => describePosition(control, i) === position) ?? -1;
    if (!control || at < 0) return undefined;
    names[control.name] = control.positions[at]!.name;
  }
  return names;
}
