/** Hover: what the thing under the caret is, and the numbers it has over every state. */
import { unitNamed } from "../../grammar/units.ts";
import { wordText } from "../../grammar/vocabulary.ts";
import { nodeAt, tokenAt } from "../../grammar/walk.ts";
import { placeHolds } from "../base/place.ts";
import type { MachineState, Mention, Target } from "../machine/machine.ts";
import { contactReadout } from "./contact-readout.ts";
import { partReadouts, terminalReadout } from "./part-readout.ts";
import { plateReadout } from "./plate-readout.ts";
import { loadReadout, type Readout } from "./readout.ts";
import { stateNumbers } from "./state-readout.ts";
import { stepReadout } from "./step-readout.ts";
import { type FileView, type MachineView, machineAt } from "./view.ts";
import { wireReadout } from "./wire-readout.ts";

export interface Hover {
  readonly from: number;
  readonly to: number;
  /** Markdown; text from the file is escaped. */
  readonly markdown: string;
}

/** `chosen` gives the state that the line "now" speaks of; without one the line is left out. */
export function hover(
  view: FileView,
  offset: number,
  chosen: (machine: MachineView) => MachineState | undefined = () => undefined,
): Hover | undefined {
  const machine = machineAt(view, offset);
  if (machine) {
    const mention = mentionAt(machine, view.file, offset);
    if (mention) {
      const markdown = pageOf(machine, mention.target, machine.engine && chosen(machine));
      if (markdown !== "") return { from: mention.place.from, to: mention.place.to, markdown };
    }
    const cell = cellAt(machine, view, offset);
    if (cell) return cell;
    const plate = plateReadout(view, machine, offset);
    if (plate) return page(plate.from, plate.to, [plate.readout]);
    const wire = machine.machine.wires.find(
      ({ place, kind }) => kind !== "internal" && place.file === view.file && placeHolds(place, offset),
    );
    if (wire) return page(wire.place.from, wire.place.to, [wireReadout(machine, wire.id)]);
  }
  return wordHover(view, offset);
}

function mentionAt({ machine }: MachineView, file: string, offset: number): Mention | undefined {
  let best: Mention | undefined;
  for (const mention of machine.mentions) {
    if (mention.place.file !== file || !placeHolds(mention.place, offset)) continue;
    if (!best || mention.place.to - mention.place.from < best.place.to - best.place.from) best = mention;
  }
  return best;
}

/** What was told of a thing: what holds over every state, and the page for the state that was shown last. */
interface Told {
  readonly readouts: readonly Readout[];
  shown?: { readonly state: MachineState | undefined; readonly markdown: string };
}

const tolds = new WeakMap<MachineView, Map<string, Told>>();

/** Worked out once while the machine and the state shown stay the same: a pointer rests on a word again and again. */
function pageOf(view: MachineView, target: Target, state: MachineState | undefined): string {
  const known = tolds.get(view) ?? new Map<string, Told>();
  tolds.set(view, known);
  const key = JSON.stringify(target);
  const told = known.get(key) ?? { readouts: freshReadouts(view, target) };
  known.set(key, told);
  if (!told.shown || !sameState(told.shown.state, state))
    told.shown = { state: state?.slice(), markdown: pageText(withNow(view, told.readouts, state)) };
  return told.shown.markdown;
}

function sameState(one: MachineState | undefined, other: MachineState | undefined): boolean {
  if (!one || !other) return one === other;
  return one.length === other.length && one.every((position, control) => position === other[control]);
}

function freshReadouts(view: MachineView, target: Target): Readout[] {
  switch (target.type) {
    case "part":
      return partReadouts(view, target.part);
    case "contact":
      return [contactReadout(view, target.contact)];
    case "load":
      return [loadReadout(view, target.load)];
    case "terminal":
    case "leg":
      return [terminalReadout(view, target.terminal)];
    case "position":
      return [stepReadout(view, target.control, target.position)];
    case "group": {
      const { positions } = view.machine.controls[target.control]!;
      const first = positions.findIndex(({ group }) => group === target.group);
      return first < 0 ? [] : [stepReadout(view, target.control, first)];
    }
    default:
      return [];
  }
}

/** What the load gets and the contact carries in the chosen state, before all that holds over every state. */
function withNow(
  { machine, engine }: MachineView,
  readouts: readonly Readout[],
  state: MachineState | undefined,
): readonly Readout[] {
  if (!engine || !state) return readouts;
  const now = stateNumbers(engine, state);
  return readouts.map((readout) => {
    const load = machine.loads.find(({ name }) => name === readout.name);
    const contact = load ? undefined : machine.contacts.find(({ name }) => name === readout.name);
    if (!load && !contact) return readout;
    const told = load ? now.load(load.id) : now.contact(contact!.id);
    const without = "closed" in told ? (told.closed ? "closed, no current" : "open") : "off";
    const text = `${told.text === "" ? without : told.text.replaceAll("  ", ", ")} in ${now.words}`;
    return { ...readout, facts: [{ name: "now", text }, ...readout.facts] };
  });
}

/** A cell of a chart: the step it stands for. */
function cellAt(machine: MachineView, view: FileView, offset: number): Hover | undefined {
  const node = nodeAt(view.tree, offset).at(-1);
  if (node?.field !== "cells" || !("cells" in node.parent)) return undefined;
  const { cells } = node.parent as { cells: readonly { from: number; to: number }[] };
  const step = cells.findIndex(({ from, to }) => from <= offset && offset < to);
  const program = machine.machine.programs.find(({ rows }) => rows.some(({ place }) => placeHolds(place, offset)));
  const control = program && machine.machine.controls[program.control];
  if (!control || step < 0 || step >= control.positions.length) return undefined;
  const cell = cells[step]!;
  return page(cell.from, cell.to, [stepReadout(machine, control.id, step)]);
}

/** A word of the language itself: what it means. */
function wordHover(view: FileView, offset: number): Hover | undefined {
  const token = tokenAt(view.tree, offset);
  if (token?.type !== "word") return undefined;
  const text = phraseAt(view, token.from);
  return text === undefined ? undefined : { from: token.from, to: token.to, markdown: escaped(text) };
}

/** The longest phrase of the language that the word stands in: `of type`, `warmed by`, else the word alone. */
function phraseAt({ text }: FileView, from: number): string | undefined {
  const word = /^\S+/.exec(text.slice(from))?.[0]?.replace(/[,;{}]+$/, "") ?? "";
  const next = /^\S+[ \t]+([\w-]+)/.exec(text.slice(from))?.[1];
  const before = /([\w-]+)[ \t]+$/.exec(text.slice(Math.max(0, from - 40), from))?.[1];
  return (
    (next && wordText(`${word} ${next}`)) ||
    (before && wordText(`${before} ${word}`)) ||
    wordText(word) ||
    unitNamed(word)?.text
  );
}

function page(from: number, to: number, readouts: readonly Readout[]): Hover {
  return { from, to, markdown: pageText(readouts) };
}

function pageText(readouts: readonly Readout[]): string {
  return readouts.map(readoutMarkdown).join("\n\n---\n\n");
}

export function readoutMarkdown({ name, what, label, facts }: Readout): string {
  const head = `**${escaped(name)}** ${escaped(what)}${label === undefined ? "" : `, ${escaped(label)}`}`;
  if (facts.length === 0) return head;
  const rows = facts.map((fact) => `| ${escaped(fact.name)} | ${escaped(fact.text)} |`);
  return [head, "", "| | |", "|:--|:--|", ...rows].join("\n");
}

/** Text of the file is never markup. */
function escaped(text: string): string {
  return text.replace(/[\\`*_{}[\]<>()#|~!&]/g, "\\$&").replace(/\r?\n/g, " ");
}
