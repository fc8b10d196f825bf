/** What can hurt people, and which parts keep it off by what they are called. Trade judgement, no published source. */
import type { Contact, Guard, Load, Machine, Part } from "../machine/machine.ts";

/** Names that the trade gives to what keeps hands out. */
const DOORS = /(^|[^a-z])(doors?|lids?|hatch|latch|interlock)([^a-z]|$)/i;
/** Names of what proves that air moves. */
const AIR = /(^|[^a-z])(air|airflow|air-flow|sail|speed|centrifugal)([^a-z]|$)/i;

/** Parts of which the label decides something; of all others it stands in sentences only, which saves asking again while one is written. */
export const LABEL_DECIDES: ReadonlySet<string> = new Set(["switch", "lock"]);

const called = ({ kind, name, label }: Part, names: RegExp): boolean =>
  names.test(name) || (LABEL_DECIDES.has(kind) && names.test(label ?? ""));

/** True for a switch or lock whose name or label is that of a door or lid. */
export function isCalledGuard(part: Part): boolean {
  return (part.kind === "switch" || part.kind === "lock") && called(part, DOORS);
}

export function keepsHandsOff({ parts }: Machine, { part }: Contact): boolean {
  return isCalledGuard(parts[part]!);
}

/** True for a contact that proves moving air: thrown by a motor's shaft while it runs, or called so. */
export function provesAir({ parts, controls }: Machine, { part, closed }: Contact): boolean {
  const owner = parts[part]!;
  if (owner.kind === "switch") return called(owner, AIR);
  return closed.some((clause) =>
    clause.some(({ control, positions }) => controls[control]!.role === "motor" && positions[0] === 0),
  );
}

/** Guards that ask how a control stands which moves the contact. */
export function guardsOn({ guards }: Machine, { closed }: Contact): Guard[] {
  const moved = new Set(closed.flatMap((clause) => clause.map(({ control }) => control)));
  return guards.filter(({ holds }) => holds.some((clause) => clause.some(({ control }) => moved.has(control))));
}

/** What heats or burns: heaters, igniters, the coils of gas valves. */
export function canBurn(machine: Machine, { kind, part }: Load): boolean {
  return kind === "heater" || kind === "igniter" || isGasValve(machine, machine.parts[part]!);
}

/** Valves marked `gas`, and those with seats that several coils open and hold: those of gas burners. */
export function isGasValve({ controls }: Machine, { kind, marks, controls: own }: Part): boolean {
  return kind === "valve" && (marks.includes("gas") || own.some((id) => controls[id]!.role === "valve"));
}

/** What moves by a motor of its own, heats or burns. */
export function canHurt(machine: Machine, load: Load): boolean {
  return canBurn(machine, load) || (load.kind === "winding" && machine.parts[load.part]!.kind === "motor");
}
