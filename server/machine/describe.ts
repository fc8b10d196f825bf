/** States and conditions in the condition syntax of the language, so that what is printed can be pasted back. */
import type { Condition, Control, Literal, Machine, MachineState } from "./machine.ts";

/** Things with two positions and motors read as `DOOR shut`, the rest as `TM in timed 3`. */
function speaksPlainly(control: Control): boolean {
  return control.positions.length <= 2 || control.role === "motor";
}

/** `timed 3..8 or auto`: groups whole, runs of numbers joined. */
export function describePositions(control: Control, mask: Uint8Array): string {
  const positions = control.positions;
  if (control.role === "motor" && positions.length === 4 && mask[2] === 1 && mask[3] === 1) {
    const rest = [0, 1].filter((index) => mask[index] === 1).map((index) => positions[index]!.name);
    return [...rest, "running"].join(" or ");
  }
  const words: string[] = [];
  for (let index = 0; index < positions.length; index++) {
    if (mask[index] !== 1) continue;
    const { group, name, number } = positions[index]!;
    if (group === undefined || number === undefined) {
      words.push(name);
      continue;
    }
    let end = index;
    while (mask[end + 1] === 1 && positions[end + 1]?.group === group) end++;
    const last = positions[end]!.number!;
    const whole = number === 1 && positions[end + 1]?.group !== group;
    if (whole) words.push(group);
    else words.push(number === last ? `${group} ${number}` : `${group} ${number}..${last}`);
    index = end;
  }
  return words.join(" or ");
}

/** `DOOR shut`, `TM in timed 3..8 or auto`. */
export function describeLiteral(machine: Machine, literal: Literal): string {
  const control = machine.controls[literal.control];
  if (!control) return "";
  const words = describePositions(control, literal.positions);
  return speaksPlainly(control) && !words.includes(" or ") ? `${control.name} ${words}` : `${control.name} in ${words}`;
}

/** `TM in timed, DOOR shut or when START pressed`; `always` and `never` for the two that hold no position. */
export function describeCondition(machine: Machine, condition: Condition): string {
  if (condition.length === 0) return "never";
  if (condition.some((clause) => clause.length === 0)) return "always";
  return condition
    .map((clause) => clause.map((literal) => describeLiteral(machine, literal)).join(", "))
    .join(" or when ");
}

/** A position as a state names it, behind the control's name: `shut`, `in timed 3`. */
export function describePosition(control: Control, position: number): string {
  const name = control.positions[position]?.name ?? "?";
  return speaksPlainly(control) ? name : `in ${name}`;
}

/** Controls of a state with their positions as text; without `only`, those that do not stand at rest. */
export function describeState(machine: Machine, state: MachineState, only?: Iterable<number>): string {
  const chosen = only
    ? [...only]
    : machine.controls.filter((control) => state[control.id] !== control.rest).map((control) => control.id);
  if (chosen.length === 0) return "everything at rest";
  return chosen
    .map((id) => {
      const control = machine.controls[id]!;
      return `${control.name} ${describePosition(control, state[id]!)}`;
    })
    .join(", ");
}

/** Every control in its resting position. */
export function restState(machine: Machine): MachineState {
  const state = new Uint8Array(machine.controls.length);
  for (const { id, rest } of machine.controls) state[id] = rest;
  return state;
}

/**
 * A state in which the condition's first clause holds and all else rests; a control that rests inside its mask stays
 * there, others take the first position of it. Undefined for `never`. Settled controls stand as asked, whether or not the circuit agrees.
 */
export function stateFrom(machine: Machine, condition: Condition): MachineState | undefined {
  const clause = condition[0];
  if (!clause) return undefined;
  const state = restState(machine);
  for (const literal of clause) {
    if (literal.positions[state[literal.control]!] === 1) continue;
    const first = literal.positions.indexOf(1);
    if (first >= 0) state[literal.control] = first;
  }
  return state;
}
