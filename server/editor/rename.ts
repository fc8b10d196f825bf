/**
 * Renaming: every mention gets the new name, and nothing else may change. That is not guessed from lists of taken names: the new
 * text is read again, and when a name in it would mean something else than before, the rename is refused with the reason.
 */
import { parse, readsAlone } from "../../grammar/parse.ts";
import { reparse } from "../../grammar/reparse.ts";
import type { Tree } from "../../grammar/tree.ts";
import { type Finding, findingText } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { opposedPairs } from "../checks/opposed.ts";
import {
  leansOnNothing,
  type Machine,
  type Mention,
  originOf,
  type ResolvedFile,
  resolveFile,
  type Target,
} from "../machine/index.ts";
import { type NamedThing, thingAt } from "./same-thing.ts";
import type { FileView } from "./view.ts";

export interface Refusal {
  readonly refused: string;
}

export interface Renaming {
  readonly place: Place;
  readonly name: string;
}

export interface TextEdit {
  readonly place: Place;
  readonly text: string;
}

/** What would be renamed at the caret, or why that cannot be. */
export function prepareRename(view: FileView, offset: number, others: readonly FileView[] = []): Renaming | Refusal {
  const thing = thingAt(view, offset, others);
  return thing ? prepared(view, thing, others) : noName;
}

const noName: Refusal = { refused: "Nothing with a name of its own stands here." };

function prepared(view: FileView, thing: NamedThing, others: readonly FileView[]): Renaming | Refusal {
  const { place, target } = thing.mention;
  const name = view.text.slice(place.from, place.to);
  const refused = whyNot(textsOf([view, ...others]), thing, name);
  return refused === undefined ? { place, name } : { refused: refused.replace("{name}", () => name || target.type) };
}

function whyNot(texts: ReadonlyMap<string, string>, { all, mention }: NamedThing, name: string): string | undefined {
  const { type } = mention.target;
  if (type === "leg")
    return "{name} is a leg of the supply: its name follows from the supply, or from legs written there.";
  if (type === "file") return "This is the address of a file; rename the file itself, then write its new address here.";
  const given = all.filter(({ defines }) => defines);
  if (given.length === 0) {
    return type === "position" || type === "group"
      ? "{name} is a word of the language for how this part stands, not a name given in the text."
      : type === "terminal"
        ? "{name} is the terminal's usual name and is written down nowhere; name the terminals of the part first."
        : "{name} is a word of the language, not a name given in the text.";
  }
  for (const { place } of all) {
    const text = texts.get(place.file);
    if (text === undefined) return `{name} is also written in ${lastOf(place.file)}, which cannot be read now.`;
    if (text.slice(place.from, place.to) !== name)
      return `{name} is written in more than one way (${lastOf(place.file)}, line ${lineOf(text, place.from)}), so it cannot be renamed safely.`;
  }
  return undefined;
}

/**
 * The edits that give the thing under the caret the new name, in this file and in the `others` that name it too, or why that
 * cannot be.
 */
export function rename(
  view: FileView,
  offset: number,
  newName: string,
  others: readonly FileView[] = [],
): readonly TextEdit[] | Refusal {
  const thing = thingAt(view, offset, others);
  if (!thing) return noName;
  const ready = prepared(view, thing, others);
  if ("refused" in ready) return ready;
  const name = newName.trim();
  if (name === ready.name) return [];
  if (!isOneWord(name)) return { refused: `"${name}" is no name: a name is one word of letters, digits and hyphens.` };
  const edits = thing.all.map(({ place }) => ({ place, text: name }));
  for (const each of [view, ...others]) {
    const refusal = whatChanges(each, edits, name, view.file);
    if (refusal) return refusal;
  }
  return edits;
}

function isOneWord(name: string): boolean {
  const { tokens, comments } = parse(name);
  const [token] = tokens.filter(({ type }) => type !== "newline-end");
  return (
    comments.length === 0 &&
    token !== undefined &&
    (token.type === "word" || token.type === "number") &&
    token.from === 0 &&
    token.to === name.length &&
    !/[\s.]/.test(name)
  );
}

/** What a file says before and after the edits, and where its places are afterwards. */
interface BothWays {
  readonly own: ResolvedFile;
  readonly renamed: ResolvedFile;
  /** Machines by their index that stayed word for word: in these every name means what it meant. */
  readonly same: ReadonlySet<number>;
  shifted(file: string, offset: number): number;
}

function bothWays(view: FileView, edits: readonly TextEdit[]): BothWays {
  const shifted = (file: string, offset: number): number => {
    let moved = offset;
    for (const { place: old, text } of edits)
      if (old.file === file && old.to <= offset) moved += text.length - (old.to - old.from);
    return moved;
  };
  const own = resolvedOf(view);
  const inside = inOneMachine(view, own, edits);
  if (inside) {
    const { from } = inside.machine.place;
    const one = (file: string, offset: number) => shifted(file, offset) - from;
    return { own: { ...own, machines: [inside.machine] }, renamed: inside.renamed, same: new Set(), shifted: one };
  }
  const before = filesOf(view);
  const after = new Map(before);
  for (const [file, tree] of before) {
    const here = edits.filter(({ place }) => place.file === file);
    if (here.length > 0) after.set(file, reparse(edited(tree.text, here), tree));
  }
  const { machines } = own;
  const renamed = resolveFile(after, view.file, undefined, { tree: view.tree, machines });
  const same = new Set<number>();
  if (machines.length === renamed.machines.length)
    for (const [index, machine] of renamed.machines.entries())
      if (originOf(machine)?.machine === machines[index]) same.add(index);
  return { own, renamed, same, shifted };
}

/** The machine that holds all the edits, when its own stretch of text decides all about it, and what that stretch says afterwards. */
function inOneMachine(
  { file, tree }: FileView,
  { machines }: ResolvedFile,
  edits: readonly TextEdit[],
): { readonly machine: Machine; readonly renamed: ResolvedFile } | undefined {
  if (!leansOnNothing(tree) || !readsAlone(tree)) return undefined;
  const machine = machines.find(({ place: { from, to } }) =>
    edits.every(({ place }) => place.file === file && place.from >= from && place.to <= to),
  );
  if (!machine) return undefined;
  const { from, to } = machine.place;
  const text = edited(
    tree.text.slice(from, to),
    edits.map(({ place, text }) => ({ place: { file, from: place.from - from, to: place.to - from }, text })),
  );
  const stretch = parse(text);
  const renamed = resolveFile(new Map([[file, stretch]]), file);
  return readsAlone(stretch) && renamed.machines.length === 1 ? { machine, renamed } : undefined;
}

/** Refuses when some name of the file, or of the files it uses, would mean something else after the edits. */
function whatChanges(view: FileView, edits: readonly TextEdit[], name: string, home: string): Refusal | undefined {
  const where = (file: string) => (file === home ? "" : ` in ${lastOf(file)}`);
  const { own, renamed, same, shifted } = bothWays(view, edits);
  const now = meanings(own, same);
  const then = meanings(renamed, same);
  const known = now.findings.filter(isError);
  const errors = then.findings.filter(isError);
  if (errors.length > known.length) {
    const old = new Set(known.map((each) => `${each.id} ${shifted(each.place.file, each.place.from)}`));
    const fresh = errors.find((each) => !old.has(`${each.id} ${each.place.from}`)) ?? errors[0]!;
    return { refused: `${name} cannot be the name here${where(view.file)}: ${findingText(fresh)}` };
  }
  for (const { mention, target } of now.meanings.values()) {
    const { file, from } = mention;
    if (then.meanings.get(`${file} ${shifted(file, from)}`)?.target === target) continue;
    const line = lineOf(filesOf(view).get(file)?.text ?? "", from);
    return {
      refused: `${name} already means something here: line ${line}${where(file)} would then mean something else.`,
    };
  }
  if (then.meanings.size !== now.meanings.size)
    return { refused: `${name} already means something here${where(view.file)}.` };
  return knownByName(own) === knownByName(renamed)
    ? undefined
    : {
        refused: `${name} would make something else of it${where(view.file)}: a start winding, and a direction or speed that excludes another, is known by its name.`,
      };
}

const isError = ({ gravity }: Finding): boolean => gravity === "error";

interface Meaning {
  readonly mention: Place;
  readonly target: string;
}

/** What follows from names alone: which windings start a motor, and which of them exclude each other. */
function knownByName({ machines }: ResolvedFile): string {
  return JSON.stringify(machines.map((machine) => [machine.loads.map(({ kind }) => kind), opposedPairs(machine)]));
}

/** The view knows already what its names mean, when it knows its files. */
function resolvedOf(view: FileView): ResolvedFile {
  if (!view.files) return resolveFile(filesOf(view), view.file);
  const machines = view.machines.map(({ machine }) => machine);
  return { machines, findings: machines.length > 0 ? [] : view.findings, mentions: view.mentions ?? [] };
}

/** What each name stands for, in numbers that do not depend on what things are called, by its place. */
function meanings({ machines, findings, mentions }: ResolvedFile, leftOut: ReadonlySet<number>) {
  const found = new Map<string, Meaning>();
  const add = (index: number, { place, target }: Mention) => {
    const at = `${place.file} ${place.from}`;
    const known = found.get(at)?.target;
    const one = `${index} ${nameless(target)}`;
    found.set(at, { mention: place, target: known === undefined ? one : `${known}, ${one}` });
  };
  for (const [index, machine] of machines.entries())
    if (!leftOut.has(index)) for (const mention of machine.mentions) add(index, mention);
  for (const mention of mentions) add(-1, mention);
  return { findings: [...findings, ...machines.flatMap((machine) => machine.findings)], meanings: found };
}

function nameless(target: Target): string {
  if (target.type === "group") return `group ${target.control}`;
  if (target.type === "type") return "type";
  return JSON.stringify(target);
}

function edited(text: string, edits: readonly TextEdit[]): string {
  let after = "";
  let at = 0;
  for (const { place, text: word } of [...edits].sort((a, b) => a.place.from - b.place.from)) {
    after += text.slice(at, place.from) + word;
    at = place.to;
  }
  return after + text.slice(at);
}

function filesOf(view: FileView): ReadonlyMap<string, Tree> {
  return view.files ?? new Map([[view.file, view.tree]]);
}

function textsOf(views: readonly FileView[]): ReadonlyMap<string, string> {
  const texts = new Map<string, string>();
  for (const view of views) for (const [file, tree] of filesOf(view)) texts.set(file, tree.text);
  return texts;
}

function lineOf(text: string, offset: number): number {
  return text.slice(0, offset).split("\n").length;
}

function lastOf(file: string): string {
  return file.slice(file.lastIndexOf("/") + 1);
}
