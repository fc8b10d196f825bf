import type { Condition, MachineState } from "../../machine/machine.ts";

/** Whether the condition holds in the state. */
export function holds(condition: Condition, state: MachineState): boolean {
  return condition.some((term) => term.every((literal) => literal.positions[state[literal.control]!] === 1));
}
