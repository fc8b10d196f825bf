/** What can hurt people, and which parts keep it off by what they are called. Trade judgement, no published source. */
import type { Contact, Guard, Load, Machine, Part } from "../machine/machine.ts";

/** Names that the trade gives to what keeps hands out. */
const DOORS = /(^|[^a-z])(doors?|lids?|hatch|latch|interlock)([^a-z]|$)/i;
/** Names of what proves that air moves: by a shaft, or by the pressure or draught that it makes. */
const SPEED = /(^|[^a-z])(speed|centrifugal)([^a-z]|$)/i;
const AIR = /(^|[^a-z])(air|airflow|air-flow|sail|vane|draft|draught|pressure|vacuum)([^a-z]|$)/i;
/** Names of what watches water, of a plain switch; a `level` is known by its kind. */
const WATER = /(^|[^a-z])(float|overfill|overflow|flood|leak|water)([^a-z]|$)/i;

/** Names of what blows air over a heater. */
const FANS = /(^|[^a-z])(fans?|blowers?|ventilator|impeller)([^a-z]|$)/i;

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
  if (owner.kind === "switch") return called(owner, AIR) || called(owner, SPEED);
  return closed.some((clause) =>
    clause.some(({ control, positions }) => controls[control]!.role === "motor" && positions[0] === 0),
  );
}

/** True for a plain switch that is called a float or water switch. */
export function watchesWater({ parts }: Machine, { part }: Contact): boolean {
  return parts[part]!.kind === "switch" && called(parts[part]!, WATER);
}

/** What a switch keeps off by its name or its shaft, though no guard is written. */
export type NamedGuard =
  | "door or lid switch"
  | "float or water switch"
  | "speed switch"
  | "air or pressure switch"
  | "burner control";

/**
 * What the contact is to this load by what it is called: keeps hands out, watches water, or proves air; and by what it feeds: a board that
 * switches a gas valve watches the flame.
 */
export function namedGuardOf(machine: Machine, contact: Contact, load: Load): NamedGuard | undefined {
  const owner = machine.parts[contact.part]!;
  if (keepsHandsOff(machine, contact)) return mayHurt(machine, load) ? "door or lid switch" : undefined;
  if (owner.kind === "board" && isGasValve(machine, machine.parts[load.part]!)) return "burner control";
  if (watchesWater(machine, contact) && !SHOWS.has(load.kind)) return "float or water switch";
  if (!provesAir(machine, contact) || !canBurn(machine, load)) return undefined;
  return owner.kind === "switch" && !called(owner, SPEED) ? "air or pressure switch" : "speed switch";
}

/** What only tells something. */
const SHOWS: ReadonlySet<Load["kind"]> = new Set(["lamp", "neon", "buzzer"]);

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

/** The same, and what nobody knows: behind a door a `load` may be anything. What a lock takes moves its bolt. */
export function mayHurt(machine: Machine, load: Load): boolean {
  return canHurt(machine, load) || (load.kind === "load" && machine.parts[load.part]!.kind !== "lock");
}

/**
 * True for a fan, and for a motor that is called one or moves one. Labels of motors are asked by proposals only: checks see marks in their place.
 */
export function movesAir({ parts }: Machine, { kind, part }: Load): boolean {
  const { name, label, moves } = parts[part]!;
  if (kind === "fan") return true;
  return kind === "winding" && [name, label, moves?.label].some((text) => text !== undefined && FANS.test(text));
}
