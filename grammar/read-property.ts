/** Properties of a part, read by the slots of their entry in the vocabulary table. */
import { ConditionReader } from "./read-condition.ts";
import type { Item, LabelNode, NameNode, PropertyItem, PropertyValue } from "./tree.ts";
import { type PropertyEntry, propertiesStarting, type Scope, type Slot } from "./vocabulary.ts";

/** The part or type that items are being read for. */
export interface ItemTarget {
  kind: string;
  label?: LabelNode;
  ofType?: NameNode;
  readonly items: Item[];
}

/** Words that end an open list of names on the same line. */
export const listEnds = new Set([
  "contact",
  "rated",
  "chart",
  "winding",
  "coil",
  "speed-switch",
  "positions",
  "triac",
  "guarded",
  "pins",
]);

export class PropertyReader extends ConditionReader {
  protected target: ItemTarget = { kind: "", items: [] };

  /** The property whose words stand here, the longest phrase first. */
  protected propertyHere(scope: Scope | undefined, ahead = 1): PropertyEntry | undefined {
    const word = this.word(ahead);
    if (word === "") return undefined;
    for (const property of propertiesStarting(word)) {
      if (scope && !property.scopes.includes(scope)) continue;
      if (property.word === word) return property;
      if (property.word.split(" ").every((one, index) => this.word(ahead + index) === one)) return property;
    }
    return undefined;
  }

  /** Reads a property by the slots of its entry; a wrong or missing value is an error, never a lost item. */
  protected readProperty(entry: PropertyEntry, scope: Scope): PropertyItem {
    const from = this.peek().startOffset;
    for (const _ of entry.word.split(" ")) this.take();
    const wordTo = this.lastEnd();
    if (
      !entry.scopes.includes(scope) ||
      (entry.kinds && (scope === "part" || scope === "contact") && !entry.kinds.includes(this.target.kind))
    ) {
      this.wrongPlace(entry, from, wordTo);
    }
    const values: PropertyValue[] = [];
    // `opens at 68 C`
    if (entry.slots[0]?.take === "quantity" && this.is("at") && this.isNumber(2)) this.take();
    for (const slot of entry.slots) this.fillSlot(slot, entry, values);
    const bare = values.length === 0 && entry.slots.length > 0 && entry.slots.every((slot) => slot.optional);
    if (bare && (entry.word === "at" || entry.word === "plug" || entry.word === "cord")) {
      this.unfinished(entry);
    }
    return this.node(from, { item: "property", word: entry.word, wordFrom: from, wordTo, values });
  }

  private wrongPlace(entry: PropertyEntry, from: number, to: number): void {
    const kind = this.target.kind;
    const owners = entry.scopes.includes("part")
      ? (entry.kinds ?? [])
      : entry.scopes.map((scope) => (scope === "part" ? "part" : scope));
    const list = owners.slice(0, 4).map((owner) => `\`${owner}\``);
    this.problem(
      { from, to },
      "property-elsewhere",
      kind ? `\`${entry.word}\` is not said of a ${kind}.` : `\`${entry.word}\` does not belong here.`,
      list.length > 0 ? `It belongs to ${list.join(", ")}: ${entry.text}.` : `It means: ${entry.text}.`,
    );
  }

  private fillSlot(slot: Slot, entry: PropertyEntry, values: PropertyValue[]): void {
    const before = values.length;
    while (this.fits(slot, values.length > before)) {
      values.push(this.readValue(slot, entry));
      if (!slot.many) break;
      if ((this.is("or") || this.is("and") || this.is(",")) && !this.is("when", 2)) {
        if (!this.fits(slot, true, 2)) break;
        this.take();
      }
    }
    if (values.length === before && !slot.optional) {
      this.unfinished(entry);
    }
  }

  private unfinished(entry: PropertyEntry): void {
    const place = { from: this.LA(0).startOffset, to: this.lastEnd() };
    this.problem(
      place,
      "unfinished",
      `\`${entry.word}\` is not finished: nothing that fits stands behind it.`,
      `Write it as in \`${entry.example}\`.`,
    );
  }

  /** True when the next tokens can fill the slot. Further or optional quantities must be of the right dimension. */
  private fits(slot: Slot, further: boolean, ahead = 1): boolean {
    switch (slot.take) {
      case "quantity": {
        if (!this.isNumber(ahead)) return false;
        if (this.is("to", ahead + 1) && !this.isRange()) return false;
        if (!further && !slot.optional) return true;
        const dimension = this.unitAhead(ahead);
        return dimension !== undefined && (slot.dimensions?.includes(dimension) ?? false);
      }
      case "label":
        return this.isLabel(ahead);
      case "words":
        return this.phraseHere(slot, ahead) !== undefined;
      case "condition":
        if (slot.optional) return this.is("in", ahead) || this.is("when", ahead) || this.is("while", ahead);
        return this.isName(ahead);
      default:
        if (!this.isName(ahead) || this.is("to", ahead + 1) || this.is("in", ahead) || this.is("when", ahead))
          return false;
        if (slot.take === "point" && this.isLabel(ahead)) return false;
        if (further && !this.sameLine(ahead)) return false;
        if (further && listEnds.has(this.word(ahead))) return false;
        if (this.is("alike", ahead) || this.is("with", ahead)) return false;
        return (
          !this.conditionStops(ahead) && !(further && this.propertyHere(undefined, ahead) && this.word(ahead) !== "on")
        );
    }
  }

  private phraseHere(slot: Slot, ahead: number): string | undefined {
    return slot.phrases?.find((phrase) => phrase.split(" ").every((word, index) => this.is(word, ahead + index)));
  }

  private readValue(slot: Slot, entry: PropertyEntry): PropertyValue {
    switch (slot.take) {
      case "quantity":
        return { type: "quantity", quantity: this.readQuantity(slot.dimensions ?? [], `\`${entry.word}\``)! };
      case "label":
        return { type: "label", label: this.takeLabel() };
      case "point":
        return { type: "point", point: this.readPoint("it")! };
      case "name":
        return { type: "name", name: this.takeName() };
      case "words": {
        const phrase = this.phraseHere(slot, 1)!;
        const from = this.peek().startOffset;
        for (const _ of phrase.split(" ")) this.take();
        return { type: "word", name: { from, to: this.lastEnd(), text: phrase } };
      }
      case "condition": {
        if (this.is("in")) {
          const other = this.isName(2) && (this.is("in", 3) || this.is(".", 3));
          if (other) this.take();
          return { type: "condition", condition: this.readCondition(!other) };
        }
        this.takeIf("when") || this.takeIf("while");
        return { type: "condition", condition: this.readCondition(true) };
      }
    }
  }
}
