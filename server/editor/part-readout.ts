/** A part as a whole (its loads and contacts one after the other) and a single point of it. */
import { terminalName } from "../checks/words.ts";
import type { PartId, TerminalId } from "../machine/machine.ts";
import { contactReadout } from "./contact-readout.ts";
import { type Fact, loadReadout, type Readout } from "./readout.ts";
import type { MachineView } from "./view.ts";

/** Contacts of one part shown in full; a timer with more is summed up. */
const mostContacts = 3;

export function partReadouts(view: MachineView, id: PartId): Readout[] {
  const { machine } = view;
  const part = machine.parts[id]!;
  const loads = part.loads.map((load) => loadReadout(view, load));
  const contacts = part.contacts.length <= mostContacts ? part.contacts.map((c) => contactReadout(view, c)) : [];
  const single = loads.length + contacts.length === 1 && part.contacts.length <= mostContacts;
  if (single) return [...loads, ...contacts];
  const facts: Fact[] = [];
  if (part.plate.length > 0) facts.push({ name: "plate", text: part.plate.join(" ") });
  if (part.type !== undefined) facts.push({ name: "type", text: part.type });
  if (part.at !== undefined) facts.push({ name: "sits at", text: part.at });
  if (part.moves) facts.push({ name: "moves", text: part.moves.label });
  for (const controlId of part.controls) {
    const control = machine.controls[controlId]!;
    const names = [...new Set(control.positions.map(({ group, name }) => group ?? name))];
    facts.push({ name: control.settled ? "can be" : "positions", text: names.join(", ") });
  }
  if (part.contacts.length > mostContacts)
    facts.push({ name: "contacts", text: part.contacts.map((c) => machine.contacts[c]!.name).join(", ") });
  const whole: Readout = {
    name: part.name,
    what: part.kind,
    ...(part.label === undefined ? {} : { label: part.label }),
    facts,
  };
  return [whole, ...loads, ...contacts];
}

/** A terminal or supply leg: what it is wired to, and its volts to the ground in words of the supply. */
export function terminalReadout({ machine, circuit, engine }: MachineView, id: TerminalId): Readout {
  const terminal = machine.terminals[id]!;
  const joint = circuit.jointOf[id]!;
  const others = (circuit.terminalsOf[joint] ?? []).filter((other) => other !== id);
  const facts: Fact[] = [
    {
      name: "wired to",
      text: others.length > 0 ? others.map((other) => terminalName(machine, other)).join(", ") : "nothing",
    },
  ];
  const own = machine.supply.legs.find((leg) => leg.terminal === id);
  if (own) {
    facts.unshift({
      name: "supply",
      text: own.role === "live" ? `${Math.round(Math.hypot(own.volts.re, own.volts.im))} V to neutral` : own.role,
    });
  } else if (engine) {
    machine.supply.legs.forEach((leg, index) => {
      if (leg.role !== "protective" && !engine.isEmpty(engine.tied(id, index)))
        facts.push({ name: `tied to ${leg.name}`, text: "through closed contacts in some states" });
    });
  }
  return { name: terminal.fullName, what: own ? "leg of the supply" : "terminal", facts };
}
