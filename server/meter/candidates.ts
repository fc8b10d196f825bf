/** Readings that could be taken next, each with what it costs in effort and danger. */

import type { Circuit } from "../circuit/circuit.ts";
import { caseTerminal } from "../circuit/network.ts";
import type { Machine, MachineState, TerminalId } from "../machine/machine.ts";
import type { Fault } from "./faults.ts";
import { isolate } from "./isolate.ts";
import { standing } from "./part-tests.ts";
import type { Reading } from "./reading.ts";
import { unplugged } from "./settle.ts";
import type { Situation } from "./situation.ts";
import { breakerSubject, symptomSubject } from "./symptoms.ts";

export interface Candidate {
  readonly reading: Reading;
  readonly cost: number;
}

/** Effort and danger of a reading against each other (common practice, no published source): unplugged before live, outside before behind a panel. */
const costs = { look: 0.5, ohms: 1, lead: 0.35, setting: 0.15, outlet: 1.2, live: 2.6, clamp: 2.4 } as const;

/** Loads whose work a person hears, sees or feels from outside. */
const noticed: ReadonlySet<string> = new Set([
  "heater",
  "igniter",
  "winding",
  "fan",
  "pump",
  "drive",
  "valve",
  "lamp",
  "neon",
  "buzzer",
]);

/** Everything that may tell the faults given apart. */
export function candidatesFor(
  circuit: Circuit,
  situations: readonly Situation[],
  faults: readonly Fault[],
): Candidate[] {
  const { machine } = circuit;
  const found = new Map<string, Candidate>();
  const add = (candidate: Candidate): void => {
    const key = readingKey(candidate.reading);
    const known = found.get(key);
    if (!known || known.cost > candidate.cost) found.set(key, candidate);
  };
  const reference = machine.supply.legs.find(({ role }) => role === "neutral") ?? machine.supply.legs.at(-1);
  situations.forEach(({ healthy, pressed }, situation) => {
    if (healthy[machine.supply.control] !== 0) return;
    looks(machine, situation, false, add);
    if (pressed.length > 0) looks(machine, situation, true, add);
    if (reference) live(machine, situation, reference.terminal, faults, add);
  });
  const first = Math.max(0, situations.length - 1);
  const base = situations[first]?.healthy;
  if (base) dead(circuit, first, base, faults, add);
  return [...found.values()];
}

function looks(machine: Machine, situation: number, pressed: boolean, add: (candidate: Candidate) => void): void {
  const held = pressed ? { pressed } : {};
  for (const part of machine.parts) {
    if (!part.loads.some((load) => noticed.has(machine.loads[load]!.kind))) continue;
    const { id, name, loads, contacts, controls } = part;
    const subject = symptomSubject(machine, { name, terminals: [], part: id, loads, contacts, controls });
    if (subject) add({ reading: { of: "symptom", subject, situation, ...held }, cost: costs.look });
  }
  add({ reading: { of: "symptom", subject: breakerSubject, situation, ...held }, cost: costs.look });
}

function live(
  machine: Machine,
  situation: number,
  reference: TerminalId,
  faults: readonly Fault[],
  add: (candidate: Candidate) => void,
): void {
  const legs = machine.supply.legs;
  for (const { terminal, role } of legs)
    if (terminal !== reference && role === "live")
      add({ reading: { of: "volts", a: terminal, b: reference, situation }, cost: costs.outlet });
  for (const part of machine.parts) {
    if (part.kind === "supply" || part.kind === "frame") continue;
    for (const terminal of part.terminals)
      if (terminal !== part.frame)
        add({ reading: { of: "volts", a: terminal, b: reference, situation }, cost: costs.live });
  }
  for (const { contact, load } of faults) {
    const between =
      contact === undefined ? (load === undefined ? undefined : machine.loads[load]) : machine.contacts[contact];
    if (between) add({ reading: { of: "volts", a: between.a, b: between.b, situation }, cost: costs.live });
    if (load !== undefined && machine.loads[load]!.known)
      add({ reading: { of: "amps", loads: [load], situation }, cost: costs.clamp });
  }
}

function dead(
  circuit: Circuit,
  situation: number,
  base: MachineState,
  faults: readonly Fault[],
  add: (candidate: Candidate) => void,
): void {
  const { machine } = circuit;
  const asLeft = unplugged(circuit, base);
  const ohms = (a: TerminalId, b: TerminalId, lifted: readonly TerminalId[], at?: MachineState): void => {
    const moved = at?.some((position, i) => position !== asLeft[i]);
    add({
      reading: { of: "ohms", a, b, lifted, situation, ...(moved ? { standing: at } : {}) },
      cost: costs.ohms + costs.lead * lifted.length + (moved ? costs.setting : 0),
    });
  };
  const loads = new Set<number>();
  const contacts = new Set<number>();
  for (const fault of faults) {
    if (fault.wire !== undefined) {
      const { a, b } = machine.wires[fault.wire]!;
      ohms(a, b, []);
    }
    if (fault.load !== undefined) loads.add(fault.load);
    if (fault.contact !== undefined) contacts.add(fault.contact);
    if (fault.control !== undefined)
      for (const { id, part } of machine.contacts) if (part === fault.part) contacts.add(id);
  }
  // From the plug's pins inwards: one reading over half of the path, as with volts, but unplugged.
  const pins = machine.supply.legs.filter(({ role }) => role !== "protective").map(({ terminal }) => terminal);
  for (const point of oneOfEachNet(circuit, faults)) for (const pin of pins) ohms(point, pin, []);
  for (const id of loads) {
    const { a, b, part } = machine.loads[id]!;
    ohms(a, b, isolate(circuit, asLeft, a, b, id).lift);
    const metal = caseTerminal(machine, part);
    if (metal !== undefined) {
      ohms(a, metal, []);
      ohms(b, metal, [a]);
    }
  }
  for (const id of contacts) {
    const contact = machine.contacts[id]!;
    for (const closed of [true, false]) {
      const at = standing(circuit, contact, closed, base);
      if (at) ohms(contact.a, contact.b, isolate(circuit, at, contact.a, contact.b, undefined).lift, at);
    }
  }
}

/** A terminal of each net that the faults touch, the supply's own left out. */
function oneOfEachNet({ machine, jointOf }: Circuit, faults: readonly Fault[]): TerminalId[] {
  const nets = new Map<number, TerminalId>();
  for (const { contact, load, wire } of faults) {
    const between =
      contact !== undefined
        ? machine.contacts[contact]
        : load !== undefined
          ? machine.loads[load]
          : wire !== undefined
            ? machine.wires[wire]
            : undefined;
    for (const terminal of between ? [between.a, between.b] : [])
      if (machine.terminals[terminal]!.part !== machine.supply.part && !nets.has(jointOf[terminal]!))
        nets.set(jointOf[terminal]!, terminal);
  }
  return [...nets.values()];
}

/** Equal for readings that are the same thing to do. */
export function readingKey(reading: Reading): string {
  switch (reading.of) {
    case "volts":
      return `volts ${Math.min(reading.a, reading.b)} ${Math.max(reading.a, reading.b)} ${reading.situation}`;
    case "ohms":
      return `ohms ${Math.min(reading.a, reading.b)} ${Math.max(reading.a, reading.b)} ${[...reading.lifted].sort().join()} ${reading.standing?.join() ?? ""}`;
    case "amps":
    case "watts":
      return `${reading.of} ${reading.terminal ?? ""} ${reading.loads?.join() ?? ""} ${reading.contacts?.join() ?? ""} ${reading.situation}`;
    case "symptom":
      return `symptom ${reading.subject.name} ${reading.situation} ${reading.pressed ?? false}`;
    case "stands":
      return `stands ${reading.claim.control} ${reading.situation}`;
  }
}
