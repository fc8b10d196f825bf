/** A part as a whole (its loads and contacts one after the other) and a single point of it. */
import { notHumming } from "../checks/currents.ts";
import { isProved, upToInWords } from "../checks/unproved.ts";
import { percent, terminalName } from "../checks/words.ts";
import type { PartId, TerminalId } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { plainWords } from "./condition-words.ts";
import { contactReadout } from "./contact-readout.ts";
import { type Fact, loadReadout, type Readout, stateWords, stillWorking } from "./readout.ts";
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
    const words = control.settled ? "can be" : "positions";
    facts.push({ name: part.controls.length > 1 ? `${control.name} ${words}` : words, text: names.join(", ") });
  }
  if (part.kind === "frame") facts.push(...metalFacts(view, id));
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

/** What is bolted to a frame, and whether wires join it to the protective earth. */
function metalFacts({ machine, circuit }: MachineView, id: PartId): Fact[] {
  const { frame } = machine.parts[id]!;
  if (frame === undefined) return [];
  const joint = circuit.jointOf[frame]!;
  const others = machine.parts.filter((part) => part.id !== id && part.frame !== undefined);
  const same = others.filter((part) => circuit.jointOf[part.frame!] === joint).map(({ name }) => name);
  const earth = machine.supply.legs.filter(({ role }) => role === "protective");
  const bonded = earth.find(({ terminal }) => circuit.jointOf[terminal] === joint);
  return [
    ...(same.length > 0 ? [{ name: "one metal with", text: same.join(", ") }] : []),
    ...(earth.length > 0 ? [{ name: "bonded", text: bonded ? `to ${bonded.name}` : "to no protective earth" }] : []),
  ];
}

/** All legs, for the word that begins the supply's line. */
export function supplyReadout(view: MachineView): Readout {
  const { supply } = view.machine;
  const facts = supply.legs.map(({ name, terminal }): Fact => {
    const told = terminalReadout(view, terminal).facts.filter((fact) => fact.name !== "wired to");
    const text = told.map((fact) => (fact.name === "carries" ? `carries ${fact.text}` : fact.text)).join("; ");
    return { name, text };
  });
  return { name: "supply", what: supply.text, facts: view.engine ? facts : [...facts, stillWorking] };
}

const legWords = { live: "", neutral: "neutral", protective: "protective earth" } as const;

/** A terminal or supply leg: what it is wired to, what of its part ends there, and which legs reach it when. */
export function terminalReadout(view: MachineView, id: TerminalId): Readout {
  const { machine, circuit, engine } = view;
  const terminal = machine.terminals[id]!;
  const joint = circuit.jointOf[id]!;
  const others = (circuit.terminalsOf[joint] ?? []).filter((other) => other !== id);
  const facts: Fact[] = [];
  const leg = machine.supply.legs.findIndex((one) => one.terminal === id);
  if (leg >= 0) {
    const { role, volts } = machine.supply.legs[leg]!;
    facts.push({
      name: "supply",
      text: role === "live" ? `${Math.round(Math.hypot(volts.re, volts.im))} V to neutral` : legWords[role],
    });
    if (engine) facts.push(...legFacts(engine, leg));
  }
  facts.push({
    name: "wired to",
    text: others.length > 0 ? others.map((other) => terminalName(machine, other)).join(", ") : "nothing",
  });
  if (leg < 0) {
    const ends = [...machine.contacts, ...machine.loads].filter(({ a, b }) => a === id || b === id);
    if (ends.length > 0) facts.push({ name: "end of", text: ends.map(({ name }) => name).join(", ") });
    if (engine) facts.push(...reachFacts(engine, id));
  }
  return { name: terminal.fullName, what: leg < 0 ? "terminal" : "leg of the supply", facts };
}

/** The most that the leg carries, against the breaker. */
function legFacts(engine: Engine, leg: number): Fact[] {
  const { breakerAmps, legs } = engine.circuit.machine.supply;
  const found = engine.extreme({ of: "leg-amps", leg }, notHumming(engine));
  const { largest } = found;
  if (!largest || !(largest.value > 0))
    return isProved(found) ? [{ name: "carries", text: "no current in any state" }] : [];
  const share =
    breakerAmps === undefined || legs[leg]!.role !== "live"
      ? ""
      : `; ${percent(largest.value / breakerAmps)} of the ${amount.amps(breakerAmps)} breaker`;
  const most = upToInWords(found, amount.amps);
  return [{ name: "carries", text: `${most} steady${share}; with ${stateWords(engine, largest.state)}` }];
}

/** Legs that closed contacts join to the terminal; none where wires alone do. */
function reachFacts(engine: Engine, id: TerminalId): Fact[] {
  const { circuit } = engine;
  return circuit.machine.supply.legs.flatMap(({ name, role }, leg): Fact[] => {
    if (role === "protective" || circuit.legJoint[leg] === circuit.jointOf[id]) return [];
    const tied = engine.tied(id, leg);
    return engine.isEmpty(tied) ? [] : [{ name: `on ${name} when`, text: plainWords(engine, tied) }];
  });
}
