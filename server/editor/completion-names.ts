/** Names of the machine as choices: points with unwired terminals first, parts, contacts, loads, and what is proved about a load. */

import { doing } from "../checks/words.ts";
import type { Machine, Part } from "../machine/machine.ts";
import type { Choice } from "./completion.ts";
import { conditionWords } from "./condition-words.ts";
import type { MachineView } from "./view.ts";

/** By terminal: whether a wire ends there. */
function wiredTerminals({ terminals, wires }: Machine): Uint8Array {
  const wired = new Uint8Array(terminals.length);
  for (const { kind, a, b } of wires) if (kind !== "internal") wired[a] = wired[b] = 1;
  return wired;
}

/** Points for a wire. `unwired`: those on which no wire ends come first. */
export function pointChoices({ machine }: MachineView, unwired = true): Choice[] {
  const { parts, terminals, supply } = machine;
  const wired = wiredTerminals(machine);
  const isLeg = new Uint8Array(terminals.length);
  for (const { terminal } of supply.legs) isLeg[terminal] = 1;
  const choices: Choice[] = [];
  for (const part of parts) {
    const label = labelOf(part);
    const ends = part.terminals.filter((id) => isLeg[id] === 0 && id !== part.frame);
    if (ends.length === 2) {
      const open = unwired && ends.some((id) => wired[id] === 0);
      choices.push({ label: part.name, kind: "part", detail: label, rank: open ? 0 : 3 });
    }
    for (const id of part.frame === undefined ? ends : [...ends, part.frame]) {
      const free = wired[id] === 0;
      const what = id === part.frame ? `metal of ${label}` : label;
      choices.push({
        label: terminals[id]!.fullName,
        kind: "terminal",
        detail: free ? `${what}, no wire yet` : what,
        rank: free && unwired ? (id === part.frame ? 1 : 0.5) : 4,
      });
    }
  }
  for (const { name, role, terminal } of supply.legs) {
    const detail = role === "live" ? "supply, live" : role === "neutral" ? "supply, neutral" : "protective earth";
    choices.push({ label: name, kind: "terminal", detail, rank: wired[terminal] === 1 || !unwired ? 2 : 0 });
  }
  return choices;
}

/** Behind `TM.`: its terminals, contacts and windings. */
export function behindDot({ machine }: MachineView, name: string): Choice[] {
  const part = machine.parts.find((one) => one.name === name);
  if (!part) return [];
  const wired = wiredTerminals(machine);
  const short = (whole: string) => (whole.startsWith(`${name}.`) ? whole.slice(name.length + 1) : whole);
  return [
    ...part.terminals.map((id): Choice => {
      const terminal = machine.terminals[id]!;
      const free = wired[id] === 0;
      return { label: terminal.name, kind: "terminal", detail: free ? "no wire yet" : "terminal", rank: free ? 0 : 1 };
    }),
    ...part.contacts.map(
      (id): Choice => ({ label: short(machine.contacts[id]!.name), kind: "contact", detail: "contact", rank: 2 }),
    ),
    ...part.loads.map(
      (id): Choice => ({
        label: short(machine.loads[id]!.name),
        kind: "load",
        detail: machine.loads[id]!.kind,
        rank: 2,
      }),
    ),
  ].filter(({ label }) => label !== name);
}

export function partChoices({ machine }: MachineView): Choice[] {
  return machine.parts
    .filter(({ id }) => id !== machine.supply.part)
    .map((part): Choice => ({ label: part.name, kind: "part", detail: labelOf(part), rank: 1 }));
}

export function contactsOf({ machine }: MachineView): Choice[] {
  return machine.contacts
    .filter(({ part }) => machine.parts[part]!.contacts.length > 1)
    .map(
      ({ name, part }): Choice => ({
        label: name,
        kind: "contact",
        detail: `contact of ${labelOf(machine.parts[part]!)}`,
        rank: 2,
      }),
    );
}

/** What something may be said of: loads first, then parts, then their contacts. */
export function subjectChoices(view: MachineView): Choice[] {
  const { machine } = view;
  const several = (part: Part) => part.loads.length + part.contacts.length > 1;
  const loads = machine.loads.map(({ name, part, kind }): Choice => {
    const detail = several(machine.parts[part]!)
      ? `${kind} of ${labelOf(machine.parts[part]!)}`
      : labelOf(machine.parts[part]!);
    return { label: name, kind: "load", detail, rank: 0 };
  });
  return [...loads, ...partChoices(view), ...contactsOf(view)];
}

/** Statements about a load that hold over every state, ready to be expected from now on. */
export function provenConditions({ machine, engine }: MachineView, name: string): Choice[] {
  const part = machine.parts.find((one) => one.name === name);
  const load = machine.loads.find((one) => one.name === name) ?? machine.loads.find(({ id }) => part?.loads[0] === id);
  if (!engine || !load) return [];
  const on = engine.when(load.id, ["works", "over"]);
  if (engine.isEmpty(on)) return [];
  const said = (verb: string, words: string, rank: number): Choice => ({
    label: `${verb} when ${words}`,
    kind: "condition",
    detail: "holds now, in every state",
    rank,
  });
  const off = engine.when(load.id, ["off"]);
  const words = conditionWords(engine, on);
  const offWords = engine.isEmpty(off) ? "" : conditionWords(engine, off);
  return [
    ...(words === "always" ? [] : [said(doing(load), words, 0)]),
    ...(offWords === "" || offWords === "always" ? [] : [said("off", offWords, 1)]),
  ];
}

function labelOf(part: Part): string {
  return part.label ?? part.kind;
}

export function controlNames(machine: Machine): Choice[] {
  return machine.controls.map(({ name, part, id }): Choice => {
    const supply = id === machine.supply.control;
    return {
      label: name,
      kind: "control",
      detail: supply ? "the plug or breaker" : labelOf(machine.parts[part]!),
      rank: supply ? 3 : 1,
    };
  });
}
