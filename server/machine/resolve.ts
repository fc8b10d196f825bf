/** From trees to machines: the order in which everything is declared, bound and checked for names. */

import { hasStatement, statementsIn, statementsOf } from "../../grammar/statement-list.ts";
import { nearestNames, orList } from "../../grammar/suggest.ts";
import type {
  ExpectStatement,
  Item,
  PartStatement,
  Statement,
  SupplyStatement,
  Tree,
  TypeStatement,
} from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { LazyFields } from "../base/lazy-fields.ts";
import type { Place } from "../base/place.ts";
import { resolveOwn, resolveTermOwn } from "./binding.ts";
import { buildPart, finishedPart, newPart } from "./build-part.ts";
import { noteSubjects } from "./conditioned.ts";
import { Draft, type InFile } from "./draft.ts";
import { addGuards } from "./guards.ts";
import { machinesKept, type ResolvedBefore } from "./kept-machines.ts";
import { mentionLater } from "./later-mentions.ts";
import type { Machine, Mention, Target } from "./machine.ts";
import { meantBy } from "./points.ts";
import { buildSupply } from "./supply.ts";
import { syntaxFindings } from "./syntax.ts";
import { bringHome, sortFindings, sortMentions, spreadFindings, unique } from "./told.ts";
import { collectTypes, type Library, type Locate } from "./types.ts";
import { tellUnused } from "./unused.ts";
import { addChain } from "./wires.ts";

/** What one file comes to. */
export interface ResolvedFile {
  readonly machines: readonly Machine[];
  /** Findings of a file that holds no machine (a file of types, or one that is only begun). Else they stand with the machines. */
  readonly findings: readonly Finding[];
  /** Mentions in a file that holds no machine, and in types that no machine uses; numbered apart from those of the machines. */
  readonly mentions: readonly Mention[];
}

/**
 * Never throws, whatever the trees hold; what can be known of a half-written machine is kept. `files` holds the main file and
 * all that it uses, directly or not; `locate` tells which of them a `use` path means, when addresses are more than paths. From the file as it
 * was `before`, machines are taken over whose text is the same.
 */
export function resolveFile(
  files: ReadonlyMap<string, Tree>,
  main: string,
  locate?: Locate,
  before?: ResolvedBefore,
): ResolvedFile {
  const tree = files.get(main);
  if (!tree) return { machines: [], findings: [], mentions: [] };
  const library = collectTypes(files, main, locate);
  const sections = splitMachines(tree);
  const usedTypes = new Set<string>();
  const keep = before ? machinesKept(tree, before) : () => undefined;
  const kept = new Set<Machine>();
  const machines = sections.map((section) => {
    const known = keep({ file: main, ...section.place });
    if (known) kept.add(known);
    return known ?? buildMachine(main, tree, section, library, usedTypes);
  });
  const loose = [...library.findings, ...syntaxFindings(main, tree)];
  if (machines.length === 0) {
    const scratch = checkTypes(main, tree, library, undefined);
    return { machines, findings: unique([...loose, ...scratch.findings]), mentions: sortMentions(scratch.mentions) };
  }
  const unusedTypes = checkTypes(main, tree, library, usedTypes);
  const shared = ({ target }: Mention) => target.type === "type" || target.type === "file";
  const findings = [...loose, ...unusedTypes.findings];
  // One taken over has what is said about the file with it.
  const spread = spreadFindings(machines, findings, unusedTypes.mentions.filter(shared), kept);
  const apart = sortMentions(unusedTypes.mentions.filter((mention) => !shared(mention)));
  return { machines: spread, findings: [], mentions: apart };
}

export function resolveMachines(files: ReadonlyMap<string, Tree>, main: string): readonly Machine[] {
  return resolveFile(files, main).machines;
}

interface Section {
  readonly label: string;
  readonly statements: readonly Statement[];
  readonly place: { readonly from: number; readonly to: number };
}

const withStatements = new LazyFields<Pick<Section, "statements">>("statements");

/** One stretch per `machine` statement; what stands before the first belongs to it. Types and `use` lines make no machine. */
function splitMachines(tree: Tree): Section[] {
  const heads = statementsOf(tree, "machine");
  if (heads.length === 0) {
    if (!hasStatement(tree, "supply", "wire")) return [];
    return [{ label: "", statements: tree.statements, place: { from: 0, to: tree.text.length } }];
  }
  return heads.map((head, index) => {
    const from = index === 0 ? 0 : head.from;
    const to = heads[index + 1]?.from ?? tree.text.length;
    const section = { label: head.label?.text ?? "", place: { from, to } };
    return withStatements.add(section, () => statementsIn(tree, from, to));
  });
}

function buildMachine(file: string, tree: Tree, section: Section, library: Library, usedTypes: Set<string>): Machine {
  const draft = new Draft(file, tree);
  const place: Place = { file, ...section.place };
  const supplies = section.statements.filter((each): each is SupplyStatement => each.statement === "supply");
  const typeItems = section.statements.flatMap((each) =>
    each.statement === "part" && each.ofType ? [library.types.get(each.ofType.text)?.statement.items ?? []] : [],
  );
  noteSubjects(draft, section.statements, typeItems);
  buildSupply(draft, supplies[0], place);
  if (supplies.length === 0) tellNoSupply(draft, section);
  for (const extra of supplies.slice(1)) {
    draft.find("duplicate-supply", "error", draft.place(extra), {
      what: "A machine has one supply; this is a second one.",
      advice: "Keep one of them, or begin another machine above it.",
      related: [{ place: draft.place(supplies[0]!), text: "the first supply" }],
    });
  }
  for (const statement of section.statements) {
    if (statement.statement === "part") declarePart(draft, statement, library, usedTypes);
  }
  for (const part of draft.parts) if (part.kind !== "supply") buildPart(draft, part);
  draft.runLater();
  for (const statement of section.statements) if (statement.statement === "wire") addChain(draft, statement);
  addGuards(draft);
  for (const statement of section.statements) addStatement(draft, statement);
  tellUnused(draft);
  bringHome(draft, library);
  return finish(draft, section, place);
}

function tellNoSupply(draft: Draft, section: Section): void {
  const head = section.statements.find((statement) => statement.statement === "machine") ?? section.statements[0];
  draft.find("no-supply", "warning", head ? draft.place(head) : { file: draft.file, from: 0, to: 0 }, {
    what: "The machine has no supply; 120/240 V 60 Hz is assumed.",
    why: "Volts and amps follow from the supply.",
    advice: "Add a line such as: supply 120/240 V 60 Hz, or: supply single 230 V 50 Hz.",
  });
}

// ------------------------------------------------------------ parts

function declarePart(draft: Draft, statement: PartStatement, library: Library, usedTypes: Set<string>): void {
  if (!statement.name) return;
  const name = statement.name.text;
  const namePlace = draft.place(statement.name);
  const known = draft.partNames.get(name);
  if (known || draft.legNames.has(name)) {
    draft.find("duplicate-name", "error", namePlace, {
      what: known ? `Two parts are called ${name}.` : `${name} is the name of a supply leg.`,
      why: "Every wire and condition that says the name could mean either.",
      advice: "Give one of them another name.",
      related: known ? [{ place: known.namePlace, text: `the first ${name}` }] : [],
    });
    return;
  }
  const items: InFile<Item>[] = [];
  if (statement.ofType) addTypeItems(draft, statement, library, usedTypes, items);
  for (const node of statement.items) items.push({ node, file: draft.file });
  const part = newPart(draft, statement.kind.text, name, items, draft.place(statement), namePlace, {
    label:
      statement.label?.text ??
      (statement.ofType ? library.types.get(statement.ofType.text)?.statement.label?.text : undefined),
    type: statement.ofType?.text,
  });
  draft.mention(namePlace, { type: "part", part: part.id }, true);
}

function addTypeItems(
  draft: Draft,
  statement: PartStatement,
  library: Library,
  usedTypes: Set<string>,
  items: InFile<Item>[],
): void {
  const node = statement.ofType!;
  const type = library.types.get(node.text);
  if (!type) {
    const near = nearestNames(node.text, library.types.keys());
    draft.find("unknown-type", "error", draft.place(node), {
      what: `No type is called ${node.text}.`,
      why: "Nothing is known of this part but its name.",
      advice:
        near.length > 0
          ? `Did you mean ${orList(near)}?`
          : "Describe it by a type statement, or take its file in by a use line.",
      fixes: near.map((name) => ({
        title: `Change to ${name}`,
        safe: false,
        edits: [{ place: draft.place(node), text: name }],
      })),
    });
    return;
  }
  usedTypes.add(node.text);
  draft.mention(draft.place(node), { type: "type", name: node.text });
  if (type.file !== draft.file) {
    // Those of this file are mentioned by checkTypes, whether used or not.
    draft.mention(draft.place(type.statement.name!, type.file), { type: "type", name: node.text }, true);
  }
  const kind = type.statement.kind?.text;
  if (kind !== undefined && kind !== statement.kind.text) {
    draft.find("wrong-kind", "error", draft.place(statement.kind), {
      what: `${statement.name?.text} is declared as a ${statement.kind.text}, but the type ${node.text} is a ${kind}.`,
      advice: `Write ${kind}, or name another type.`,
      related: [
        {
          place: draft.place(type.statement.name ?? type.statement, type.file),
          text: `the type ${node.text}`,
        },
      ],
      fixes: [{ title: `Change to ${kind}`, safe: false, edits: [{ place: draft.place(statement.kind), text: kind }] }],
    });
  }
  for (const item of type.statement.items) items.push({ node: item, file: type.file });
}

// ------------------------------------------------------------ expectations, notes, and the rest

function targetOf(draft: Draft, point: ExpectStatement["subject"]): Target | undefined {
  if (!point) return undefined;
  const meant = meantBy(draft, point, draft.file);
  if (!meant) return undefined;
  if (meant.type === "part") {
    meant.part.referred = true;
    return { type: "part", part: meant.part.id };
  }
  if (meant.type === "contact") return { type: "contact", contact: meant.contacts[0]! };
  if (meant.type === "load") return { type: "load", load: meant.load };
  const terminal = draft.terminals[meant.terminal]!;
  if (terminal.part === draft.supply.part) return { type: "leg", terminal: meant.terminal };
  if (meant.part && (meant.part.kind === "frame" || meant.part.kind === "splice") && !point.terminal) {
    return { type: "part", part: meant.part.id };
  }
  return { type: "terminal", terminal: meant.terminal };
}

function addStatement(draft: Draft, statement: Statement): void {
  if (statement.statement === "expect") {
    const when = statement.when ? resolveOwn(draft, undefined, statement.when, draft.file) : undefined;
    const after = statement.after?.flatMap((term) => {
      const condition = resolveTermOwn(draft, undefined, term, draft.file);
      const literal = condition?.[0]?.[0];
      return literal ? [{ control: literal.control, position: literal.positions.indexOf(1) }] : [];
    });
    draft.expectations.push({
      statement,
      subject: targetOf(draft, statement.subject),
      when,
      after,
      place: draft.place(statement),
    });
  } else mentionLater(draft, statement);
}

// ------------------------------------------------------------ types that nothing uses

/** Types are resolved once by themselves, so that what is wrong in them is told even when no part uses them. */
function checkTypes(
  file: string,
  tree: Tree,
  library: Library,
  used: ReadonlySet<string> | undefined,
): { findings: Finding[]; mentions: Mention[] } {
  if (!hasStatement(tree, "type") && library.files.size === 0) return { findings: [], mentions: [] };
  const draft = new Draft(file, tree);
  buildSupply(draft, undefined, { file, from: 0, to: 0 });
  const hasMachine = used !== undefined;
  for (const statement of statementsOf(tree, "type")) {
    if (!statement.name || !statement.kind) continue;
    const place = draft.place(statement.name);
    draft.mention(place, { type: "type", name: statement.name.text }, true);
    if (used?.has(statement.name.text)) continue;
    if (hasMachine && library.types.get(statement.name.text)?.statement === statement) tellUnusedType(draft, statement);
    if (draft.partNames.has(statement.name.text)) continue;
    const items = statement.items.map((node) => ({ node, file }));
    buildPart(
      draft,
      newPart(draft, statement.kind.text, statement.name.text, items, draft.place(statement), place, {}),
    );
  }
  draft.runLater();
  for (const [statement, target] of library.files) {
    if (statement.path) draft.mention(draft.place(statement.path), { type: "file", file: target });
  }
  // Other parts are not known here, so names are not told as unknown.
  const own = draft.findings.filter(
    (finding) => !finding.id.startsWith("unknown-part") && finding.id !== "value-missing",
  );
  return { findings: own, mentions: draft.mentions };
}

function tellUnusedType(draft: Draft, statement: TypeStatement): void {
  draft.find("unused-type", "hint", draft.place(statement.name!), {
    what: `No part is of type ${statement.name!.text}.`,
    advice: "Use it by the words of type, or take it out.",
    unused: true,
  });
}

// ------------------------------------------------------------ the finished machine

function finish(draft: Draft, section: Section, place: Place): Machine {
  const parts = draft.parts.map(finishedPart);
  const pick = <K extends Statement["statement"]>(word: K) =>
    section.statements
      .filter((each): each is Extract<Statement, { statement: K }> => each.statement === word)
      .map((statement) => ({ statement, place: draft.place(statement) }));
  return {
    label: section.label,
    file: draft.file,
    tree: draft.tree,
    place,
    supply: draft.supply,
    parts,
    terminals: draft.terminals,
    wires: draft.wires,
    controls: draft.controls,
    contacts: draft.contacts,
    loads: draft.loads,
    transformers: draft.transformers,
    programs: draft.programs,
    guards: draft.guards,
    expectations: draft.expectations,
    notes: pick("note").map((note) => ({ ...note, subject: targetOf(draft, note.statement.subject) })),
    proposals: pick("proposal"),
    benchFindings: pick("findings"),
    mentions: sortMentions(draft.mentions),
    findings: sortFindings(draft.findings),
  };
}
