/** Hover: what the thing under the caret is, and the numbers it has over every state. */
import { nodeAt } from "../../grammar/walk.ts";
import { Beside } from "../base/beside.ts";
import type { ContactReadout, LoadReadout } from "../base/chosen-state.ts";
import { placeHolds } from "../base/place.ts";
import { percent } from "../checks/words.ts";
import type { MachineState, Mention, Target } from "../machine/machine.ts";
import { contactReadout } from "./contact-readout.ts";
import { partReadouts, supplyReadout, terminalReadout } from "./part-readout.ts";
import { plateReadout } from "./plate-readout.ts";
import { loadReadout, type Readout } from "./readout.ts";
import { stateNumbers } from "./state-readout.ts";
import { groupReadout, stepReadout } from "./step-readout.ts";
import { type FileView, type MachineView, machineAt } from "./view.ts";
import { wireReadout } from "./wire-readout.ts";
import { wordMeaning } from "./word-hover.ts";

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
  }
  const plate = plateReadout(view, machine, offset);
  if (plate) return page(plate.from, plate.to, [plate.readout]);
  if (machine) {
    const wire = machine.machine.wires.find(
      ({ place, kind }) => kind !== "internal" && place.file === view.file && placeHolds(place, offset),
    );
    if (wire) return page(wire.place.from, wire.place.to, [wireReadout(machine, wire.id)]);
  }
  const word = wordMeaning(view, offset);
  if (!word) return undefined;
  const { from, to, text } = word;
  // A supply that is not written has the place of its machine.
  const isSupply = view.text.slice(from, to) === "supply" && machine?.machine.supply.place.from === from;
  if (isSupply) return page(from, to, [supplyReadout(machine)]);
  return { from, to, markdown: escaped(text) };
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

const tolds = new Beside<MachineView, Map<string, Told>>();

/** Worked out once while the machine and the state shown stay the same: a pointer rests on a word again and again. */
function pageOf(view: MachineView, target: Target, state: MachineState | undefined): string {
  const known = tolds.get(view) ?? new Map<string, Told>();
  tolds.set(view, known);
  const key = JSON.stringify(target);
  const told = known.get(key) ?? { readouts: freshReadouts(view, target) };
  known.set(key, told);
  if (!told.shown || !sameState(told.shown.state, state))
    told.shown = { state: state?.slice(), markdown: pageText(withNow(view, target, told.readouts, state)) };
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
      const some = positions.some(({ group }) => group === target.group);
      return some ? [groupReadout(view, target.control, target.group)] : [];
    }
    default:
      return [];
  }
}

/** What the load gets, the contact carries and the terminal stands at in the chosen state, before all that holds over every state. */
function withNow(
  { machine, engine }: MachineView,
  target: Target,
  readouts: readonly Readout[],
  state: MachineState | undefined,
): readonly Readout[] {
  if (!engine || !state) return readouts;
  const now = stateNumbers(engine, state);
  let said = false;
  return readouts.map((readout) => {
    const load = machine.loads.find(({ name }) => name === readout.name);
    const contact = load ? undefined : machine.contacts.find(({ name }) => name === readout.name);
    const terminal = target.type === "terminal" || target.type === "leg" ? target.terminal : undefined;
    const words = load
      ? loadNow(now.load(load.id))
      : contact
        ? contactNow(now.contact(contact.id))
        : terminal === undefined
          ? undefined
          : now.terminal(terminal);
    if (words === undefined) return readout;
    // One state for the whole page: said once.
    const text = said ? words : `${words} with ${now.words}`;
    said = true;
    return { ...readout, facts: [{ name: "now", text }, ...readout.facts] };
  });
}

function loadNow({ text }: LoadReadout): string {
  return text === "" ? "off" : text.replaceAll("  ", ", ");
}

function contactNow({ text, closed, share }: ContactReadout): string {
  if (text === "") return closed ? "closed, no current" : "open";
  return share === undefined ? text : `${text}, ${percent(share)} of its rating`;
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

function page(from: number, to: number, readouts: readonly Readout[]): Hover {
  return { from, to, markdown: pageText(readouts) };
}

function pageText(readouts: readonly Readout[]): string {
  return readouts.map(readoutMarkdown).join("\n\n---\n\n");
}

/** What holds now stands in the head of the table: editors cut off what is long, and the rows of a finding stand above. */
export function readoutMarkdown({ name, what, label, facts }: Readout): string {
  const head = `**${escaped(name)}** ${escaped(what)}${label === undefined || label === what ? "" : `, ${escaped(label)}`}`;
  if (facts.length === 0) return head;
  const rows = facts.map((fact) => `| ${escaped(fact.name)} | ${escaped(fact.text)} |`);
  const [first, rest] = facts[0]!.name === "now" ? [rows[0]!, rows.slice(1)] : ["| | |", rows];
  return [head, "", first, "|:--|:--|", ...rest].join("\n");
}

/** Text of the file is never markup. */
function escaped(text: string): string {
  return text.replace(/[\\`*_{}[\]<>()#|~!&]/g, "\\$&").replace(/\r?\n/g, " ");
}
