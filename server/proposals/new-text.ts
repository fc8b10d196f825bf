/**
 * A proposal carried out in the text: the machine's own text as it reads when the rewire has been done. Statements that it does not
 * touch stay letter by letter with their remarks. The new text is read again and must come to the very circuit that the proposal
 * gives; else there is none, as the formatter rather does nothing than change a circuit.
 */
import { applyEdits, formatTree, type TextEdit } from "../../grammar/format.ts";
import { parse } from "../../grammar/parse.ts";
import type { ProposalStatement, Statement, Tree } from "../../grammar/tree.ts";
import { lineEdits } from "../base/line-edits.ts";
import { breakOf, lineStart } from "../base/lines.ts";
import type { Place } from "../base/place.ts";
import { type Machine, type Mention, resolveFile } from "../machine/index.ts";
import type { Locate } from "../machine/types.ts";
import { type Applied, applyProposal, type Proposed } from "./apply.ts";
import { rewiredChains, wholeLine } from "./rewired-chains.ts";
import { machineNumber } from "./rewrite.ts";
import { circuitDifference } from "./same-circuit.ts";

export interface NewText {
  /** In every file that changes: the machine's own, and the proposal's where that is another. */
  readonly edits: readonly { readonly place: Place; readonly text: string }[];
  /** The machine's file as it reads then. */
  readonly text: string;
  readonly machine: Machine;
}

/** What becomes of the proposal: it is taken out, or its lines are kept as a remark of what was done. */
export type Afterwards = "gone" | "remark";

/** Undefined when the proposal cannot be carried out, or not in text. Parameters as in `applyProposal`. */
export function newText(
  base: Machine,
  files: ReadonlyMap<string, Tree>,
  proposed: Proposed,
  afterwards: Afterwards,
  locate?: Locate,
): NewText | undefined {
  const applied = applyProposal(base, files, proposed, locate);
  const { machine: wanted, written } = applied;
  if (!wanted || !written) return undefined;
  const resolve = (text: string): Machine | undefined =>
    resolveFile(new Map([...files, [base.file, parse(text)]]), base.file, locate).machines[
      machineNumber(base.tree, base.place)
    ];

  const blocks = proposed.file === base.file ? blocksIn(written.tree, base.tree, applied) : [];
  const edits = [
    ...rewiredChains(written, wanted),
    ...takenOut(written, applied),
    ...blocks.map((block) => doneWith(written.tree, block, afterwards)),
    ...withoutLabels(written.tree, blocks),
  ].sort((a, b) => a.from - b.from);
  let text = applyEdits(written.tree.text, edits);
  for (const [from, to] of applied.renames) {
    const named = resolve(text);
    if (!named) return undefined;
    text = applyEdits(text, renamedMentions(named, from, to));
  }
  const touched = linesTouched(base.tree.text, text);
  text = applyEdits(
    text,
    formatTree(parse(text), ({ from, to }) => touched(from, to)),
  );
  const machine = resolve(text);
  if (!machine || circuitDifference(wanted, machine, new Set(applied.removed)) !== undefined) return undefined;
  if (newErrors(wanted, machine)) return undefined;
  const own = lineEdits(base.tree.text, text).map((edit) => inFile(base.file, edit));
  return { edits: [...own, ...editsAtHome(applied, files, proposed, base, afterwards)], text, machine };
}

const inFile = (file: string, { from, to, text }: TextEdit) => ({ place: { file, from, to }, text });

/** Errors of names, silent in the comparison of circuits: an expectation of a part that is gone. */
function newErrors(wanted: Machine, machine: Machine): boolean {
  const errors = ({ findings }: Machine) => findings.filter(({ gravity }) => gravity === "error").length;
  return errors(machine) > errors(wanted);
}

// ------------------------------------------------------------ parts taken out

/**
 * Their statements, and notes about them. A part that something else of the text speaks of stays, with no wire on it: what asks where
 * it stands has to be rewritten by a person.
 */
function takenOut(written: Machine, { removed }: Applied): TextEdit[] {
  const { tree, place, file, parts } = written;
  const own = tree.statements.filter(({ from }) => from >= place.from && from < place.to);
  return removed.flatMap((name): TextEdit[] => {
    const part = parts.find((each) => each.name === name);
    if (!part) return [];
    const within = ({ from, to }: { from: number; to: number }, outer: Place | Statement) =>
      from >= outer.from && to <= outer.to;
    const notes = own.filter((each) => each.statement === "note" && each.subject?.part?.text === name);
    const speaks = written.mentions.some(
      (mention) =>
        mention.place.file === file &&
        isOf(mention, part.id, written) &&
        !within(mention.place, part.place) &&
        !own.some(
          (each) =>
            within(mention.place, each) &&
            (["wire", "proposal", "findings"].includes(each.statement) || notes.includes(each)),
        ),
    );
    if (speaks) return [];
    return [part.place, ...notes].map(({ from, to }) => wholeLine(tree.text, from, to));
  });
}

function isOf({ target }: Mention, part: number, { terminals, contacts, loads, controls }: Machine): boolean {
  switch (target.type) {
    case "part":
      return target.part === part;
    case "terminal":
      return terminals[target.terminal]!.part === part;
    case "contact":
      return contacts[target.contact]!.part === part;
    case "load":
      return loads[target.load]!.part === part;
    case "position":
    case "group":
      return controls[target.control]!.part === part;
    default:
      return false;
  }
}

function renamedMentions(machine: Machine, from: string, to: string): TextEdit[] {
  const part = machine.parts.find(({ name }) => name === from);
  const { text } = machine.tree;
  const seen = new Set<number>();
  return machine.mentions
    .filter(
      ({ target, place }) =>
        target.type === "part" &&
        target.part === part?.id &&
        place.file === machine.file &&
        text.slice(place.from, place.to) === from &&
        !seen.has(place.from) &&
        seen.add(place.from),
    )
    .map(({ place }) => ({ from: place.from, to: place.to, text: to }))
    .sort((a, b) => a.from - b.from);
}

// ------------------------------------------------------------ the proposal itself

/** The blocks that were carried out, in the text with their edits: no edit touches a block, so they stand in the same order. */
function blocksIn(tree: Tree, base: Tree, { proposals }: Applied): ProposalStatement[] {
  const all = proposalsOf(base);
  const now = proposalsOf(tree);
  return proposals.flatMap((one) => now[all.indexOf(one)] ?? []);
}

function proposalsOf({ statements }: Tree): ProposalStatement[] {
  return statements.filter((each): each is ProposalStatement => each.statement === "proposal");
}

function doneWith({ text }: Tree, { from, to, label }: ProposalStatement, afterwards: Afterwards): TextEdit {
  const whole = wholeLine(text, from, to);
  if (afterwards === "gone") {
    // Of two empty lines around it one is enough.
    const before = lineStart(text, Math.max(0, whole.from - 1));
    const empty = whole.from > 0 && text.slice(before, whole.from).trim() === "";
    return empty ? { ...whole, from: before } : whole;
  }
  const line = breakOf(text);
  const start = text.slice(lineStart(text, from), from).trim() === "" ? lineStart(text, from) : from;
  const inner = text.slice(from, to).split(/\r?\n/).slice(1);
  const said = `Done: ${label?.text ?? "a rewire"}`;
  const lines = inner
    .filter((each) => !/^\s*\}?\s*$/.test(each))
    .map((each) => `#   ${each.trim().replace(/^#\s*/, "")}`);
  return { from: start, to, text: [`# ${said}`, ...lines].join(line) };
}

/** Other proposals that stood on one that is done stand on the machine itself now. */
function withoutLabels(tree: Tree, blocks: readonly ProposalStatement[]): TextEdit[] {
  const done = new Set(blocks.map(({ label }) => label?.text));
  return proposalsOf(tree).flatMap((each): TextEdit[] => {
    if (blocks.includes(each)) return [];
    const left = each.with.filter(({ text }) => !done.has(text));
    const last = each.with.at(-1);
    if (!last || left.length === each.with.length) return [];
    const from = each.label?.to ?? each.from + "proposal".length;
    const words = left.map(({ from: a, to: b }) => ` with ${tree.text.slice(a, b)}`).join("");
    return [{ from, to: last.to, text: words }];
  });
}

/** In the proposal's file, when that is another one: its block is done with, and its types have moved to the machine. */
function editsAtHome(
  { proposals, types }: Applied,
  files: ReadonlyMap<string, Tree>,
  { file }: Proposed,
  base: Machine,
  afterwards: Afterwards,
): NewText["edits"] {
  const tree = files.get(file);
  if (file === base.file || !tree) return [];
  const moved = types
    .filter((type) => type.file === file)
    .map(({ statement: { from, to } }) => wholeLine(tree.text, from, to));
  const done = proposals.map((block) => doneWith(tree, block, afterwards));
  return [...moved, ...done, ...withoutLabels(tree, proposals)]
    .sort((a, b) => a.from - b.from)
    .map((edit) => inFile(file, edit));
}

// ------------------------------------------------------------ lines

/** Whether a stretch of the new text lies in lines that the old one did not have. */
function linesTouched(before: string, after: string): (from: number, to: number) => boolean {
  let shift = 0;
  const touched = lineEdits(before, after).map(({ from, to, text }) => {
    const start = from + shift;
    shift += text.length - (to - from);
    return { from: start, to: start + text.length };
  });
  return (from, to) => touched.some((each) => each.from <= from && to <= each.to);
}
