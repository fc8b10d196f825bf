/** Which single changes of inputs a state allows: MEANING.md, "Moves". */
import { conditionHolds } from "../../server/circuit/condition.ts";
import type { ChangeRule, Control, Machine, MachineState } from "../../server/machine/machine.ts";
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
        const rule = usable.find((one) => leadsTo(one, control, state[control.id]!, position));
        if (rule !== undefined) moves.push({ control, position, rule });
      }
    }
  }
  return moves;
}

function isUsable(rule: ChangeRule, control: Control, state: MachineState, classes: Uint8Array): boolean {
  if (rule.from[state[control.id]!] !== 1) return false;
  if (rule.when !== undefined && !conditionHolds(rule.when, state)) return false;
  if (rule.unless?.some((test) => passes(test, classes))) return false;
  return rule.needs === undefined || rule.needs.some((all) => all.every((test) => passes(test, classes)));
}

function leadsTo(rule: ChangeRule, control: Control, from: number, to: number): boolean {
  if (rule.to[to] !== 1) return false;
  if (rule.by === 1) return to === (from + 1) % control.positions.length;
  return rule.by !== -1 || to === from - 1;
}

/** The move as a person would do it or see it happen. */
export function wordsOf(move: InputMove): string {
  const position = move.control.positions[move.position]!.name;
  if (move.rule === undefined) return `set ${move.control.name} to ${position}`;
  return move.rule.words.replaceAll("{position}", position);
}
