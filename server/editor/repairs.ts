/** What can be written so that a finding is gone: a part that was never declared, a bond, a protector to be tried out as a proposal. */

import { formatQuantity } from "../../grammar/quantity.ts";
import type { PointNode, Statement, TermNode } from "../../grammar/tree.ts";
import type { Finding, Fix } from "../base/finding.ts";
import { breakOf, lineEnd } from "../base/lines.ts";
import type { Place } from "../base/place.ts";
import type { Load, Machine } from "../machine/machine.ts";
import { type Afterwards, newText } from "../proposals/new-text.ts";
import { protects } from "../proposals/verdict.ts";
import { type FileView, machineAt } from "./view.ts";

export function repairs(view: FileView, finding: Finding): readonly Fix[] {
  if (finding.id === "proposal-outcome") return carriedOut(view, finding);
  const machine = machineAt(view, finding.place.from)?.machine;
  if (!machine || finding.place.file !== view.file) return [];
  if (finding.id === "unknown-part") return missingPart(view, machine, finding.place);
  if (finding.id === "unbonded-metal") return missingBond(view, machine, finding.place);
  if (finding.id === "load-without-protector") return missingProtector(view, machine, finding.place);
  return [];
}

// ------------------------------------------------------------ a part that is named but not declared

interface Uses {
  /** Terminals named behind the dot, in text order. */
  readonly terminals: readonly string[];
  /** Positions asked for in conditions. */
  readonly positions: readonly string[];
  /** Those of them in which something is expected to be off. */
  readonly off: ReadonlySet<string>;
}

/** What the text says of the name already decides what it can be: a switch, pins of a plug, or a place where wires meet. */
function missingPart(view: FileView, machine: Machine, place: Place): Fix[] {
  const name = view.text.slice(place.from, place.to);
  const uses = usesOf(view, machine, name);
  const { terminals, positions } = uses;
  const fixes = [added(view, machine, `Add a switch called ${name}`, switchText(name, uses))];
  if (positions.length === 0) {
    fixes.push(
      terminals.length > 0
        ? added(view, machine, `Add a connector called ${name}`, [`connector ${name} pins ${terminals.join(" ")}`])
        : added(view, machine, `Add a splice called ${name}`, [`splice ${name}`]),
    );
  }
  return fixes;
}

function switchText(name: string, { terminals, positions, off }: Uses): string[] {
  const stands = [...positions];
  for (const word of ["on", "off"]) if (stands.length < 2 && !stands.includes(word)) stands.push(word);
  const ends = [...terminals];
  for (const end of ["1", "2"]) if (ends.length < 2 && !ends.includes(end)) ends.push(end);
  if (ends.length < 2) ends.push("3");
  // The first position is the one it rests in; which that is the text does not say.
  const closed = [...stands.filter((word) => !off.has(word)), ...stands.filter((word) => off.has(word))];
  const others = ends
    .slice(1)
    .map((end, index) => `  contact ${ends[0]} to ${end} in ${closed[index % closed.length]}`);
  return [`switch ${name} {`, `  positions ${stands.join(" ")}`, ...others, "}"];
}

function usesOf(view: FileView, machine: Machine, name: string): Uses {
  const terminals = new Set<string>();
  const positions = new Set<string>();
  const off = new Set<string>();
  let expectsOff = false;
  const point = (node: PointNode | undefined) => {
    if (node?.part?.text === name && node.terminal) terminals.add(node.terminal.text);
  };
  const term = ({ subject, positions: asked }: TermNode) => {
    point(subject);
    if (subject?.part?.text !== name) return;
    for (const { name: word } of asked) {
      if (!word) continue;
      positions.add(word.text);
      if (expectsOff) off.add(word.text);
    }
  };
  const visit = (node: unknown): void => {
    if (typeof node !== "object" || node === null) return;
    if (Array.isArray(node)) return void node.forEach(visit);
    if ("statement" in node) {
      const { verb } = node as { verb?: { text?: string } };
      expectsOff = node.statement === "expect" && /off$/.test(verb?.text ?? "");
    }
    if (isTerm(node)) term(node);
    else if (isPoint(node)) point(node);
    if ("enter" in node && "part" in node && (node.part as { text?: string } | undefined)?.text === name) {
      const { enter, leave } = node as { enter?: { text: string }; leave?: { text: string } };
      for (const end of [enter, leave]) if (end) terminals.add(end.text);
    }
    Object.values(node).forEach(visit);
  };
  visit(statementsOf(view, machine));
  return { terminals: [...terminals], positions: [...positions], off };
}

const isTerm = (node: object): node is TermNode => "subject" in node && "positions" in node;
const isPoint = (node: object): node is PointNode => "part" in node && !("statement" in node) && !("edit" in node);

// ------------------------------------------------------------ metal that is not bonded

function missingBond(view: FileView, machine: Machine, place: Place): Fix[] {
  const part = machine.parts.find(({ namePlace }) => namePlace.from === place.from && namePlace.file === place.file);
  const earth = machine.supply.legs.find(({ role }) => role === "protective");
  if (!part || part.frame === undefined || !earth) return [];
  const frame = machine.terminals[part.frame]!.fullName;
  const last = statementsOf(view, machine).findLast(({ statement }) => statement === "wire");
  return [
    added(view, machine, `Add the bond of ${part.name} to ${earth.name}`, [`bond ${frame} to ${earth.name}`], last),
  ];
}

// ------------------------------------------------------------ a load that nothing protects

/** Stamped sizes of limits and overloads in the trade, A; common practice, no published source. */
const stamps = [3, 5, 10, 15, 20, 25, 30, 40, 60];

/** A proposal changes nothing: the person tries it, sets the temperatures by the maker's sheet, and fits the part or does not. */
function missingProtector(view: FileView, machine: Machine, place: Place): Fix[] {
  const load = machine.loads.find(({ namePlace }) => namePlace.from === place.from && namePlace.file === place.file);
  const wired = load && endToCut(machine, load);
  if (!load || !wired) return [];
  const motor = load.kind === "winding" || load.kind === "start-winding" || load.kind === "fan" || load.kind === "pump";
  const kind = motor ? "overload" : "limit";
  const name = freeName(machine, motor ? "OL-new" : "HL-new");
  const heat = motor ? "opens 110 C closes 61 C" : "opens 121 C closes 93 C self-resetting";
  const label = `a ${kind} for ${load.name}`;
  const { end, wires } = wired;
  const lines = [
    "",
    `proposal "${label}" {`,
    `  # The temperatures are placeholders: take them, and the place it sits at, from the maker's sheet.`,
    `  add ${kind} ${name} ${heat} senses ${machine.parts[load.part]!.loads.length > 1 ? load.name : machine.parts[load.part]!.name} ${ratingFor(machine, load)}`,
    ...wires.map(([a, b]) => `  move wire ${a} to ${b} end ${end} to ${name}.1`),
    `  wire ${name}.2 to ${end}`,
    "}",
  ];
  const at = Math.min(view.text.length, machine.place.to);
  const before = view.text.slice(0, at).trimEnd().length;
  const line = breakOf(view.text);
  const gap = view.text.slice(before, at);
  return [
    {
      title: `Try ${label} as a proposal`,
      safe: false,
      edits: [
        {
          place: { file: view.file, from: lineEnd(view.text, before), to: lineEnd(view.text, before) },
          text: `${line}${lines.join(line)}${gap === "" ? line : ""}`,
        },
      ],
    },
  ];
}

/** The terminal of the load that has written wires, and these: towards a live leg for choice, the fewest otherwise. */
function endToCut(machine: Machine, load: Load) {
  const names = (terminal: number) => machine.terminals[terminal]!.fullName;
  const ends = [load.a, load.b].flatMap((terminal) => {
    const wires = machine.wires.filter((wire) => wire.kind === "wire" && (wire.a === terminal || wire.b === terminal));
    const pairs = wires.map(({ a, b }): [string, string] => [names(a), names(b)]);
    return wires.length > 0 ? [{ end: names(terminal), wires: pairs }] : [];
  });
  return ends.sort((a, b) => a.wires.length - b.wires.length)[0];
}

function ratingFor(machine: Machine, load: Load): string {
  const most = Math.max(...machine.supply.legs.map(({ volts }) => Math.hypot(volts.re, volts.im)));
  const volts = load.ratedVolts ?? most;
  const amps = load.ratedAmps ?? (load.ratedWatts !== undefined && volts > 0 ? load.ratedWatts / volts : 0);
  const stamp = stamps.find((each) => each >= amps * 1.1) ?? Math.ceil(amps * 1.1);
  return `rated ${stamp} A ${formatQuantity(volts <= 125 ? 125 : volts <= 250 ? 250 : Math.ceil(volts), "voltage")}`;
}

function freeName(machine: Machine, wanted: string): string {
  const taken = new Set([...machine.parts.map(({ name }) => name), ...machine.supply.legs.map(({ name }) => name)]);
  let name = wanted;
  for (let number = 2; taken.has(name); number++) name = `${wanted}-${number}`;
  return name;
}

// ------------------------------------------------------------ a proposal that is done

/** The machine's text as the proposal has it. Not offered for a lead across a protector: that is never how a machine is left. */
function carriedOut(view: FileView, { place }: Finding): Fix[] {
  const { from } = place;
  const found = view.proposals?.find(({ statement }) => statement.from <= from && from < statement.to);
  if (!found || !view.files || found.comparison.difference?.bridged.some(protects)) return [];
  const { base, statement, locate } = found;
  const name = statement.label ? `"${statement.label.text}"` : "this proposal";
  const write = (title: string, afterwards: Afterwards): Fix[] => {
    const text = newText(base, view.files!, { statement, file: view.file }, afterwards, locate);
    return text ? [{ title, safe: false, edits: text.edits }] : [];
  };
  return [
    ...write(`Write ${name} into the machine`, "gone"),
    ...write(`Write ${name} into the machine, its lines kept as a remark`, "remark"),
  ];
}

// ------------------------------------------------------------ where lines go

function statementsOf(view: FileView, machine: Machine): readonly Statement[] {
  return view.tree.statements.filter(({ from }) => from >= machine.place.from && from < machine.place.to);
}

/** Lines behind a statement: the last part or the supply when none is given. */
function added(view: FileView, machine: Machine, title: string, lines: readonly string[], behind?: Statement): Fix {
  const own = statementsOf(view, machine);
  const after =
    behind ??
    own.findLast(({ statement }) => statement === "part") ??
    own.find(({ statement }) => statement === "supply") ??
    own[0];
  const line = breakOf(view.text);
  const at = lineEnd(view.text, after?.to ?? machine.place.from);
  const place = { file: view.file, from: at, to: at };
  return { title, safe: false, edits: [{ place, text: line + lines.join(line) }] };
}
