/** Signature help: what may be said of the part that is being written, and which of it the caret is in. */

import { units } from "../../grammar/units.ts";
import {
  kindNamed,
  type PropertyEntry,
  properties,
  propertiesOf,
  type Scope,
  type Slot,
} from "../../grammar/vocabulary.ts";
import { type Sentence, sentenceAt } from "./sentence.ts";
import type { FileView } from "./view.ts";

export interface Signature {
  /** `heater NAME  power  voltage  resistance ...` */
  readonly label: string;
  readonly documentation: string;
  /** Stretches of the label with what each says. */
  readonly parameters: readonly { readonly from: number; readonly to: number; readonly documentation: string }[];
  readonly active?: number;
}

/** The property at the caret with its values, where there is one; else the kind with all that may be said of it. */
export function signature(view: FileView, offset: number): Signature | undefined {
  const sentence = sentenceAt(view.tree, offset);
  if (sentence.comment || sentence.label || sentence.before.length === 0) return undefined;
  const property = propertyAt(sentence);
  return property ? ofProperty(property) : ofKind(sentence);
}

/** The last property word whose values may still be going on. */
function propertyAt({
  before,
  block,
}: Sentence): { readonly entry: PropertyEntry; readonly values: number } | undefined {
  const words = before.map(({ text }) => text);
  const kind = kindNamed(words[0] ?? "")?.word ?? block.kind ?? "";
  for (let from = words.length - 1; from > 0 && from >= words.length - 6; from--)
    for (const length of [3, 2, 1]) {
      const phrase = words.slice(from, from + length).join(" ");
      const entry = properties.find(
        ({ word, kinds }) => word === phrase && (kinds === undefined || kinds.includes(kind) || words[0] === "supply"),
      );
      if (!entry || entry.slots.length === 0) continue;
      const values = valuesIn(before.slice(from + length).map(({ type }) => type));
      const most = entry.slots.some(({ many }) => many) ? Number.POSITIVE_INFINITY : entry.slots.length;
      return values <= most ? { entry, values } : undefined;
    }
  return undefined;
}

/** A number and its unit are one value. */
function valuesIn(types: readonly string[]): number {
  let values = 0;
  types.forEach((type, index) => {
    if (type === "mark") return;
    if (type === "word" && types[index - 1] === "number") return;
    values++;
  });
  return values;
}

function ofProperty({ entry, values }: { readonly entry: PropertyEntry; readonly values: number }): Signature {
  let label = entry.word;
  const parameters = entry.slots.map((slot) => {
    const from = label.length + 1;
    label += ` ${slotWords(slot)}`;
    return { from, to: label.length, documentation: slotText(slot) };
  });
  return {
    label,
    documentation: `${entry.text}. Example: ${entry.example}`,
    parameters,
    active: Math.min(values, parameters.length - 1),
  };
}

const scopeOf: Readonly<Record<string, Scope>> = {
  winding: "winding",
  drive: "drive",
  coil: "coil",
  supply: "supply",
  contact: "contact",
};

function ofKind({ before, block }: Sentence): Signature | undefined {
  const head = before[0]!.text;
  const kind = kindNamed(head);
  const scope = scopeOf[head];
  if (!kind && !scope) return undefined;
  const said = new Set(before.map(({ text }) => text));
  let label = kind ? `${head} NAME` : head;
  const parameters: Signature["parameters"][number][] = [];
  const add = (text: string, documentation: string) => {
    const from = label.length + 2;
    label += `  ${text}`;
    parameters.push({ from, to: label.length, documentation });
  };
  for (const dimension of kind?.plate ?? []) add(dimension, `a bare number with ${unitsOf(dimension)}`);
  const entries = scope ? propertiesOf(block.kind ?? "", scope) : propertiesOf(head);
  for (const { word, text, example } of entries.filter(({ kinds }) => kinds !== undefined || scope !== undefined))
    if (!said.has(word)) add(word, `${text}. Example: ${example}`);
  return { label, documentation: kind ? `${kind.text}. Example: ${kind.example}` : "", parameters };
}

function unitsOf(dimension: string): string {
  return (
    units
      .filter((unit) => unit.dimension === dimension)
      .map(({ name }) => name)
      .join(", ") || "no unit"
  );
}

function slotWords(slot: Slot): string {
  const bare = slot.take === "words" ? (slot.phrases ?? []).join("|") : (slot.dimensions?.join("|") ?? slot.take);
  return `${slot.optional ? `[${bare}]` : bare}${slot.many ? " ..." : ""}`;
}

function slotText(slot: Slot): string {
  if (slot.take === "quantity") return `a number with ${(slot.dimensions ?? []).map(unitsOf).join(", or ")}`;
  if (slot.take === "words") return `one of: ${(slot.phrases ?? []).join(", ")}`;
  return {
    name: "a name",
    point: "a part, load or terminal",
    label: "a text in quotes",
    condition: "a condition: DOOR shut, TM in timed",
  }[slot.take];
}
