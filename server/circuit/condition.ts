import type { Condition, MachineState } from "../machine/machine.ts";

/** True when the condition (OR of ANDs of literals) holds in the state. `[]` never holds, `[[]]` always does. */
export function conditionHolds(condition: Condition, state: MachineState): boolean {
  for (let i = 0; i < condition.length; i++) {
    const literals = condition[i]!;
    let all = true;
    for (let j = 0; j < literals.length; j++) {
      const literal = literals[j]!;
      if (literal.positions[state[literal.control]!] !== 1) {
        all = false;
        break;
      }
    }
    if (all) return true;
  }
  return false;
}
