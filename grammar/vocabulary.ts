/**
 * The vocabulary: one table of every word of the language. Tokens, completion, hover, the TextMate grammar and the
 * keyword list of LANGUAGE.md are made from it. The entries stand in the files beside this one, by topic.
 */
import type { Dimension } from "./tree.ts";
import { dutyWords, expectVerbs, type ItemEntry, items, joiningWords, supplyForms } from "./vocabulary-items.ts";
import {
  findingsWords,
  type KindEntry,
  kinds,
  proposalWords,
  type StatementEntry,
  statements,
} from "./vocabulary-kinds.ts";
import { type PropertyEntry, properties, type Scope, type Slot } from "./vocabulary-properties.ts";

export type { Dimension, ItemEntry, KindEntry, PropertyEntry, Scope, Slot, StatementEntry };
export {
  dutyWords,
  expectVerbs,
  findingsWords,
  items,
  joiningWords,
  kinds,
  properties,
  proposalWords,
  statements,
  supplyForms,
};

const kindsByWord = new Map(kinds.map((kind) => [kind.word, kind]));
const itemsByWord = new Map(items.map((item) => [item.word, item]));
const propertiesByWord = new Map(properties.map((property) => [property.word, property]));

/** Properties by their first word, those of most words first. */
const propertiesByFirst = new Map<string, PropertyEntry[]>();
for (const property of properties) {
  const first = property.word.split(" ")[0]!;
  const list = propertiesByFirst.get(first) ?? [];
  list.push(property);
  list.sort((a, b) => b.word.split(" ").length - a.word.split(" ").length);
  propertiesByFirst.set(first, list);
}

export function kindNamed(word: string): KindEntry | undefined {
  return kindsByWord.get(word);
}

export function itemNamed(word: string): ItemEntry | undefined {
  return itemsByWord.get(word);
}

export function propertyNamed(word: string): PropertyEntry | undefined {
  return propertiesByWord.get(word);
}

/** Properties whose first word is this one, the longest phrase first. */
export function propertiesStarting(word: string): readonly PropertyEntry[] {
  return propertiesByFirst.get(word) ?? [];
}

/** Properties that may be said of a part of this kind, or of a thing inside it when `scope` says so. */
export function propertiesOf(kind: string, scope: Scope = "part"): readonly PropertyEntry[] {
  return properties.filter(
    (property) =>
      property.scopes.includes(scope) && (scope !== "part" || !property.kinds || property.kinds.includes(kind)),
  );
}

/** Item words that may stand in the block of a part of this kind. */
export function itemsOf(kind: string): readonly ItemEntry[] {
  return items.filter((item) => !item.kinds || item.kinds.includes(kind));
}

/** What a word means, in one line, wherever it stands; undefined for words that are no part of the language. */
export function wordText(word: string): string | undefined {
  return (
    kindsByWord.get(word)?.text ??
    [...statements, ...proposalWords, ...findingsWords].find((entry) => entry.word === word)?.text ??
    itemsByWord.get(word)?.text ??
    propertiesByWord.get(word)?.text ??
    joiningWords.find((entry) => entry.word === word)?.text
  );
}

const singles = new Set<string>(["deg", "AC", "DC", "of", "type", "per", "step", "steps"]);
for (const list of [kinds, statements, proposalWords, findingsWords, items, properties, joiningWords]) {
  for (const entry of list) for (const word of entry.word.split(" ")) singles.add(word);
}
for (const list of [dutyWords, supplyForms, expectVerbs]) {
  for (const phrase of list) for (const word of phrase.split(" ")) singles.add(word);
}
for (const property of properties) {
  for (const slot of property.slots) {
    for (const phrase of slot.phrases ?? []) for (const word of phrase.split(" ")) singles.add(word);
  }
}

/** True for every single word that means something somewhere in the language. */
export function isWordOfLanguage(word: string): boolean {
  return singles.has(word);
}
