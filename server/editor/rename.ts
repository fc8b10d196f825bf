/**
 * Renaming: every mention gets the new name, and nothing else may change. That is not guessed from lists of taken names: the new
 * text is read again, and when a name in it would mean something else than before, the rename is refused with the reason.
 */
import { parse } from "../../grammar/parse.ts";
import { findingText } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { resolveFile, type Target } from "../machine/index.ts";
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
export function prepareRename(view: FileView, offset: number): Renaming | Refusal {
  const thing = thingAt(view, offset);
  if (!thing) return { refused: "Nothing with a name of its own stands here." };
  const { place, target } = thing.mention;
  const name = view.text.slice(place.from, place.to);
  const refused = whyNot(view, thing, name);
  return refused === undefined ? { place, name } : { refused: refused.replace("{name}", () => name || target.type) };
}

function whyNot(view: FileView, { all, mention }: NamedThing, name: string): string | undefined {
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
  const elsewhere = given.find(({ place }) => place.file !== view.file);
  if (elsewhere)
    return `{name} is given its name in ${lastOf(elsewhere.place.file)}; other files may use it too, so rename it there.`;
  if (all.some(({ place }) => place.file === view.file && view.text.slice(place.from, place.to) !== name))
    return "{name} is written in more than one way in this text, so it cannot be renamed safely.";
  return undefined;
}

/** The edits that give the thing under the caret the new name, or why that cannot be. */
export function rename(view: FileView, offset: number, newName: string): readonly TextEdit[] | Refusal {
  const prepared = prepareRename(view, offset);
  if ("refused" in prepared) return prepared;
  const thing = thingAt(view, offset)!;
  const name = newName.trim();
  if (name === prepared.name) return [];
  if (!isOneWord(name)) return { refused: `"${name}" is no name: a name is one word of letters, digits and hyphens.` };
  const edits = thing.all.map(({ place }) => ({ place, text: name }));
  return whatChanges(view, edits, name) ?? edits;
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

interface Meaning {
  readonly from: number;
  readonly target: string;
}

function whatChanges(view: FileView, edits: readonly TextEdit[], name: string): Refusal | undefined {
  const own = edits.filter(({ place }) => place.file === view.file).sort((a, b) => a.place.from - b.place.from);
  let after = "";
  let at = 0;
  for (const { place, text } of own) {
    after += view.text.slice(at, place.from) + text;
    at = place.to;
  }
  after += view.text.slice(at);

  const shifted = (offset: number): number =>
    own.reduce(
      (sum, { place, text }) => (place.to <= offset ? sum + text.length - (place.to - place.from) : sum),
      offset,
    );
  const then = meanings(after, view.file);
  const now = meanings(view.text, view.file);
  const errors = then.findings.filter(({ gravity }) => gravity === "error");
  const before = now.findings.filter(({ gravity }) => gravity === "error");
  if (errors.length > before.length) {
    const known = new Set(before.map(({ id, place }) => `${id} ${shifted(place.from)}`));
    const fresh = errors.find(({ id, place }) => !known.has(`${id} ${place.from}`)) ?? errors[0]!;
    return { refused: `${name} cannot be the name here: ${findingText(fresh)}` };
  }
  const thenAt = new Map(then.meanings.map(({ from, target }) => [from, target]));
  const changed = now.meanings.find(({ from, target }) => thenAt.get(shifted(from)) !== target);
  if (changed || then.meanings.length !== now.meanings.length) {
    const line = changed ? view.text.slice(0, changed.from).split("\n").length : undefined;
    return {
      refused: `${name} already means something here${line === undefined ? "" : `: line ${line} would then mean something else`}.`,
    };
  }
  return undefined;
}

/** What each name of the text stands for, in numbers that do not depend on what things are called. Files in use stay out, before and after alike. */
function meanings(text: string, file: string) {
  const { machines, findings, mentions } = resolveFile(new Map([[file, parse(text)]]), file);
  const found: Meaning[] = [];
  machines.forEach((machine, index) => {
    for (const { place, target } of machine.mentions)
      found.push({ from: place.from, target: `${index} ${nameless(target)}` });
  });
  for (const { place, target } of mentions) found.push({ from: place.from, target: nameless(target) });
  return { findings: [...findings, ...machines.flatMap((machine) => machine.findings)], meanings: found };
}

function nameless(target: Target): string {
  if (target.type === "group") return `group ${target.control}`;
  if (target.type === "type") return "type";
  return JSON.stringify(target);
}

function lastOf(file: string): string {
  return file.slice(file.lastIndexOf("/") + 1);
}
