/** What can be written so that a finding is gone: a part that was never declared, a bond, a rewire to be tried out as a proposal. */

import type { PointNode, Statement, TermNode } from "../../grammar/tree.ts";
import type { Finding, Fix } from "../base/finding.ts";
import { breakOf, lineEnd } from "../base/lines.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";
import { type Afterwards, newText } from "../proposals/new-text.ts";
import { protects } from "../proposals/verdict.ts";
import { proposalStarts } from "./proposal-starts.ts";
import { type FileView, machineAt } from "./view.ts";

export function repairs(view: FileView, finding: Finding): readonly Fix[] {
  if (finding.id === "proposal-outcome") return carriedOut(view, finding);
  const machine = machineAt(view, finding.place.from)?.machine;
  if (!machine || finding.place.file !== view.file) return [];
  if (finding.id === "unknown-part") return missingPart(view, machine, finding.place);
  if (finding.id === "unbonded-metal") return missingBond(view, machine, finding.place);
  return proposalStarts(view, machine, finding);
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
