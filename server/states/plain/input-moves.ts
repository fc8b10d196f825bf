/** Which single changes of inputs a state allows: MEANING.md, "Moves". */
import type { ChangeRule, Control, Machine, MachineState } from "../../machine/machine.ts";
import { holds } from "./condition.ts";
import { passes } from "./load-class.ts";

export interface InputMove {
  readonly control: Control;
  readonly position: number;
  /** Left out when the control has no rules. */
  readonly rule?: ChangeRule;
}

/** Every input move that the state allows. `classes`: load classes of the state. */
export function inputMoves(machine: Machine, state: MachineState, classes: Uint8Array): InputMove[] {
  const moves: InputMove[] = [];
  for (const control of machine.controls) {
    if (control.settled) continue;
    const usable = control.changes?.filter((rule) => isUsable(rule, control, state, classes));
    for (let position = 0; position < control.positions.length; position++) {
      if (position === state[control.id]) continue;
      if (usable === undefined) moves.push({ control, position });
      else {
        const rule = usable.find((one) => one.to[position] === 1);
        if (rule !== undefined) moves.push({ control, position, rule });
      }
    }
  }
  return moves;
}

function isUsable(rule: ChangeRule, control: Control, state: MachineState, classes: Uint8Array): boolean {
  if (rule.from[state[control.id]!] !== 1) return false;
  if (rule.when !== undefined && !holds(rule.when, state)) return false;
  return rule.needs === undefined || rule.needs.some((all) => all.every((test) => passes(test, classes)));
}

/** The move as a person would do it or see it happen. */
export function wordsOf(move: InputMove): string {
  const position = move.control.positions[move.position]!.name;
  if (move.rule === undefined) return `set ${move.control.name} to ${position}`;
  return move.rule.words.replaceAll("{position}", position);
}
