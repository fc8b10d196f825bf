/** Items of a part: properties, contacts, windings and the like, read by the vocabulary table. */
import { isRemark, itemHabit, remarkHabit } from "./habits.ts";
import { endOf } from "./lexer.ts";
import { fromHabit, unexpectedWord } from "./messages.ts";
import { listEnds, PropertyReader } from "./read-property.ts";
import type { Draft } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type {
  BranchItem,
  ContactItem,
  FrameItem,
  GuardedItem,
  Item,
  MovesItem,
  NameNode,
  PinsItem,
  PositionsItem,
  PropertyItem,
  PropertyValue,
  QuantityItem,
  RatedItem,
  SeatItem,
} from "./tree.ts";
import {
  isWordOfLanguage,
  itemNamed,
  itemsOf,
  kindNamed,
  type PropertyEntry,
  properties,
  propertiesOf,
  propertiesStarting,
  type Scope,
} from "./vocabulary.ts";

const everyProperty = properties.map((property) => property.word);
const contactWords = new Set(["contact", "triac", "protector"]);
const branchWords = new Set(["bias", "feed", "sense", "thermistor", "primary", "secondary", "element"]);
const twoEnded = new Set(["winding", "drive", "coil"]);
const listWords = new Set(["positions", "water", "set"]);
const whenClosed = new Set(["in", "closed", "made", "open", "while", "when", "below", "above", "else", "rated"]);
/** What the terminals of a one-liner may go on with; all else is said of the part. */
const oneLiner = new Set(["opens after", "closes after", "leaks", "normally open", "normally closed"]);

export class ItemReader extends PropertyReader {
  /** Reads one item into the target; always takes at least one token. */
  protected readItem(): void {
    const target = this.target;
    const from = this.peek().startOffset;
    const word = this.peek().meant ?? this.word();
    if (this.isLabel() && !this.is("to", 2)) {
      const label = this.takeLabel();
      if (target.label) {
        this.problem(label, "second-label", "There is a label already.", "Keep one label; use `note` for remarks.");
      } else target.label = label;
      return;
    }
    if (this.is(",") || this.is(";")) {
      this.take();
      return;
    }
    if (this.isRange() || (this.isNumber() && !this.is("to", 2))) {
      target.items.push(this.readPlate(target.kind));
      return;
    }
    if (this.isName() && this.is("to", 2)) {
      target.items.push(this.readContact(from, ""));
      return;
    }
    const item = this.readWordItem(from, word);
    if (item) target.items.push(item);
  }

  private readPlate(kind: string): QuantityItem {
    const entry = kindNamed(kind);
    const quantity = this.readQuantity(entry?.plate ?? [], `a ${kind}`)!;
    return { item: "quantity", from: quantity.from, to: quantity.to, quantity };
  }

  private readWordItem(from: number, word: string): Item | undefined {
    if (word === "of" && this.is("type", 2)) {
      this.take();
      this.take();
      if (this.isName()) this.target.ofType = this.takeName();
      else this.missing("the name of the type", "Write the name that a `type` line declares.");
      return undefined;
    }
    if (this.is("winding", 2) && itemNamed("winding")!.kinds!.includes(this.target.kind))
      return this.readNameFirst(from);
    this.tellItemElsewhere(word);
    if (contactWords.has(word)) {
      this.take();
      return this.readContact(from, word);
    }
    if (twoEnded.has(word)) {
      this.take();
      return this.readTwoEnded(from, word as "winding" | "drive" | "coil");
    }
    if (branchWords.has(word)) {
      this.take();
      const ends = this.readEnds(from);
      return { item: "branch", word: word as BranchItem["word"], ...ends, ...this.readOwnProperties(from, "branch") };
    }
    if (listWords.has(word) && !(word === "set" && this.is("by", 2))) {
      this.take();
      const names = this.readNames(word);
      return this.node<PositionsItem>(from, { item: "positions", word, names });
    }
    if (word === "pins") {
      this.take();
      return this.node<PinsItem>(from, { item: "pins", names: this.readNames("pins") });
    }
    if (word === "rated" || word === "rating" || word === "ratings") {
      const at = this.take();
      if (word !== "rated") this.tellWritten(at, "rated");
      const rating = this.readRating();
      return this.node<RatedItem>(from, { item: "rated", rating });
    }
    if (word === "seat") return this.readSeat(from);
    if (word === "moves") return this.readMoves(from);
    if (word === "guarded") {
      const guard = this.readGuard();
      return this.node<GuardedItem>(from, { item: "guarded", guard });
    }
    if (word === "frame" || word === "on") {
      this.take();
      const bolted = word === "on" || this.takeIf("on");
      if (bolted && !this.isName()) this.missing("the frame", "Name the `frame` that it is bolted to: `on CAB`.");
      const on = bolted && this.isName() ? { on: this.takeName() } : {};
      return this.node<FrameItem>(from, { item: "frame", ...on });
    }
    const property = this.propertyHere("part") ?? this.propertyHere(undefined);
    if (property) return this.readProperty(property, "part");
    if (word === "closed" || word === "open" || word === "made" || word === "in" || word === "while")
      return this.readContact(from, "");
    this.readStray();
    return undefined;
  }

  /** `main winding 1 to 2`: read as `winding main 1 to 2`, and said. */
  private readNameFirst(from: number): Item {
    const name = this.takeName();
    const word = this.take();
    const right = `winding ${name.text}`;
    const place = { from: name.from, to: endOf(word) };
    this.problem(place, "unexpected-word", "The name of a winding stands behind the word.", `Write \`${right}\`.`, [
      right,
    ]);
    return { name, ...this.readTwoEnded(from, "winding") } as Item;
  }

  private tellItemElsewhere(word: string): void {
    const { kind } = this.target;
    const kinds = itemNamed(word)?.kinds;
    if (!kind || !kinds || kinds.includes(kind)) return;
    const list = kinds.slice(0, 4).map((owner) => `\`${owner}\``);
    const at = this.peek();
    this.problem(
      { from: at.startOffset, to: endOf(at) },
      "property-elsewhere",
      `\`${word}\` is not said of a ${kind}.`,
      `It belongs to ${list.join(", ")}: ${itemNamed(word)!.text}.`,
    );
  }

  /** One error for a stretch of text that fits nowhere, up to the next word that does. */
  private readStray(): void {
    const first = this.peek();
    const kind = this.target.kind;
    const where = kind ? `in a ${kind}` : "here";
    if (isRemark(first.image, this.peek(2).image)) {
      const { line } = first;
      while (!this.atEnd() && this.peek().line === line) this.take();
      const place = { from: first.startOffset, to: first.startOffset + 2 };
      this.problems.push(
        fromHabit(
          place.from,
          place.to,
          "unexpected-word",
          `\`${first.image}${this.source[place.to - 1]}\` means nothing ${where}.`,
          remarkHabit,
        ),
      );
      return;
    }
    const habit = itemHabit(kind, first.image);
    if (habit) {
      this.take();
      // Names of positions without the word: one error for them all.
      if (habit.write?.startsWith("positions"))
        while (this.isName() && this.sameLine() && !this.startsItem()) this.take();
      this.problems.push(
        fromHabit(
          first.startOffset,
          endOf(first),
          "unexpected-word",
          `\`${first.image}\` means nothing ${where}.`,
          habit,
        ),
      );
      return;
    }
    let last = first;
    do last = this.take();
    while (!this.atEnd() && !this.startsItem());
    if (first.meant) return;
    const words = [...itemsOf(kind).map((item) => item.word), ...propertiesOf(kind).map((property) => property.word)];
    const near = this.word(0) || first.image.length > 1 ? nearestNames(first.image, words) : [];
    if (near.length === 0 && first.image.length > 3) near.push(...nearestNames(first.image, everyProperty));
    const unfinished = propertiesStarting(first.image)[0];
    if (unfinished && near.length === 0) near.push(unfinished.word);
    const to = last.line === first.line ? endOf(last) : endOf(first);
    this.problems.push(
      unexpectedWord(first.startOffset, near.length > 0 ? endOf(first) : to, first.image, where, near),
    );
  }

  private startsItem(): boolean {
    if (this.isLabel() || this.isRange() || (this.isName() && this.is("to", 2))) return true;
    const word = this.word();
    if (word === "") return false;
    return (
      contactWords.has(word) ||
      branchWords.has(word) ||
      twoEnded.has(word) ||
      listEnds.has(word) ||
      word === "moves" ||
      word === "frame" ||
      (word === "of" && this.is("type", 2)) ||
      this.propertyHere(undefined) !== undefined
    );
  }

  // ------------------------------------------------------------ small parts

  private readNames(word: string): NameNode[] {
    const names: NameNode[] = [];
    while (this.isName() && this.sameLine() && !listEnds.has(this.word()) && !this.is("to", 2)) {
      names.push(this.takeName());
      if (this.is(",") && this.isName(2)) this.take();
    }
    if (names.length === 0)
      this.missing(
        "a name",
        `Write the names behind \`${word}\`: \`${word} ${word === "pins" ? "1 2 3" : "low high"}\`.`,
      );
    return names;
  }

  /** `main 4 to 5`: an optional name and two terminals. */
  protected readEnds(from: number): { from: number; to: number; name?: NameNode; a?: NameNode; b?: NameNode } {
    const ends: { from: number; to: number; name?: NameNode; a?: NameNode; b?: NameNode } = { from, to: from };
    const named =
      this.isName() && !this.is("to", 2) && !this.startsProperty() && !(this.isRange() && !this.is("to", 3));
    if (named) ends.name = this.takeName();
    if (this.isName() && !this.startsProperty() && (this.is("to", 2) || !this.isRange())) ends.a = this.takeName();
    if (this.takeIf("to")) {
      if (this.isName()) ends.b = this.takeName();
      else this.missing("the other terminal", "Write both terminals: `1 to 2`.");
    } else if (ends.a) this.missing("the other terminal, behind `to`,", "Write both terminals: `1 to 2`.");
    ends.to = this.lastEnd();
    return ends;
  }

  private startsProperty(): boolean {
    return (
      !this.is("to", 2) &&
      !this.is("to", 3) &&
      (whenClosed.has(this.word()) || this.propertyHere(undefined) !== undefined)
    );
  }

  private readTwoEnded(from: number, word: "winding" | "drive" | "coil"): Item {
    const ends = this.readEnds(from);
    return { item: word, ...ends, ...this.readOwnProperties(from, word) } as Item;
  }

  /** Plate values and properties that belong to a winding, drive, coil or branch. */
  private readOwnProperties(
    from: number,
    scope: Scope,
  ): { from: number; to: number; properties: (PropertyItem | QuantityItem)[] } {
    const properties: (PropertyItem | QuantityItem)[] = [];
    for (;;) {
      if ((this.is(",") || this.is(";")) && (this.propertyHere(scope, 2) || this.isNumber(2))) this.take();
      if (this.isRange()) {
        const plate = kindNamed(scope === "winding" ? "motor" : scope === "branch" ? "load" : "heater")?.plate ?? [];
        const quantity = this.readQuantity(scope === "branch" ? [...plate, "temperature"] : plate, `a ${scope}`)!;
        properties.push({ item: "quantity", from: quantity.from, to: quantity.to, quantity });
        continue;
      }
      const property = this.propertyHere(scope);
      if (!property) break;
      properties.push(this.readProperty(property, scope));
    }
    return { from, to: this.lastEnd(), properties };
  }

  // ------------------------------------------------------------ contacts

  protected readContact(from: number, word: string): ContactItem {
    const contact: Draft<ContactItem> & { throws: NameNode[]; properties: PropertyItem[] } = {
      item: "contact",
      word,
      from,
      to: from,
      throws: [],
      properties: [],
    };
    const { isName } = this;
    if (word !== "" && this.takeDashed(contact)) {
      while (this.readContactTail(contact, word));
      contact.to = this.lastEnd();
      return contact;
    }
    if (isName.call(this) && !this.is("to", 2) && word !== "" && !this.startsProperty()) contact.name = this.takeName();
    if (this.isName() && !this.startsProperty()) contact.common = this.takeName();
    if (this.takeIf("to")) {
      do {
        if (this.isName()) contact.throws.push(this.takeName());
        else this.missing("the other terminal", "Write both terminals: `contact 1 to 2`.");
      } while (this.is("or") && this.isName(2) && !this.is("when", 2) && this.takeIf("or"));
    } else if (contact.common)
      this.missing("the other terminal, behind `to`,", "Write both terminals: `contact 1 to 2`.");
    else if (word === "contact" && !contact.name)
      this.missing("one or both of the contact's terminals", "Write both terminals: `contact 1 to 2`.");
    while (this.readContactTail(contact, word));
    contact.to = this.lastEnd();
    return contact;
  }

  /** `run A-B`: read as `run A to B`, and said. */
  private takeDashed(contact: Draft<ContactItem> & { throws: NameNode[] }): boolean {
    const ahead = this.isName(2) && this.sameLine(2) && /^\w+-\w+$/.test(this.peek(2).image) ? 2 : 1;
    const token = this.peek(ahead);
    const ends = /^(\w+)-(\w+)$/.exec(token.image);
    if (!ends || this.is("to", ahead + 1) || isWordOfLanguage(token.image) || !this.isName(ahead)) return false;
    // A name with a stroke, its terminals behind it.
    if (this.is("to", ahead + 2)) return false;
    if (ahead === 2) contact.name = this.takeName();
    this.take();
    const [, a = "", b = ""] = ends;
    const at = token.startOffset;
    contact.common = { from: at, to: at + a.length, text: a };
    contact.throws.push({ from: endOf(token) - b.length, to: endOf(token), text: b });
    const what = `\`${token.image}\` is read as one name.`;
    const place = { from: at, to: endOf(token) };
    this.problem(place, "missing-to", what, "Use `to` to join two terminals.", [`${a} to ${b}`]);
    return true;
  }

  /** One thing said of a contact; false when nothing more is. */
  private readContactTail(
    contact: Draft<ContactItem> & { throws: NameNode[]; properties: PropertyItem[] },
    word: string,
  ): boolean {
    if (this.is(",") || this.is(";")) {
      if (!whenClosed.has(this.word(2)) && !this.contactProperty(word, 2)) return false;
      this.take();
    }
    const from = this.peek().startOffset;
    const next = this.word();
    switch (next) {
      case "in":
      case "closed":
      case "made": {
        this.take();
        if (this.is("while") || this.is("when") || this.is("below") || this.is("above")) return true;
        if (next !== "in") this.takeIf("in");
        const positions = this.readPositions(true);
        if (positions.length === 0)
          this.missing("the position", "Name the positions in which it is closed: `in shut`.");
        contact.positions = [...(contact.positions ?? []), ...positions];
        return true;
      }
      case "open": {
        this.take();
        if (this.is("when") || this.is("while")) {
          this.take();
          const condition = this.readCondition(true);
          const values: PropertyValue[] = [{ type: "condition", condition }];
          contact.properties.push(
            this.node(from, { item: "property", word: "opens when", wordFrom: from, wordTo: from + 4, values }),
          );
          return true;
        }
        this.takeIf("in");
        const positions = this.readPositions(true);
        if (positions.length === 0)
          this.missing("the position", "Name the positions in which it is open: `open in off`.");
        contact.openPositions = [...(contact.openPositions ?? []), ...positions];
        return true;
      }
      case "while":
      case "when":
        this.take();
        contact.while = this.readCondition(true);
        return true;
      case "below":
      case "above":
        if (!this.isName(2)) {
          this.take();
          this.missing(`the level behind \`${next}\``, "Write `below set`, or name a level: `below mid`.");
          return true;
        }
        contact.while = this.readCondition(true);
        return true;
      case "else":
        this.take();
        if (this.isName()) contact.throws.push(this.takeName());
        else this.missing("the other throw", "Name the terminal of the other throw: `else C`.");
        return true;
      case "rated":
        this.take();
        contact.rating = this.readRating();
        return true;
    }
    const property = this.contactProperty(word, 1);
    if (!property) return false;
    contact.properties.push(this.readProperty(property, "contact"));
    return true;
  }

  private contactProperty(word: string, ahead: number): PropertyEntry | undefined {
    const property = this.propertyHere("contact", ahead);
    return property && (word !== "" || oneLiner.has(property.word)) ? property : undefined;
  }

  // ------------------------------------------------------------ seats, movements, guards

  private readSeat(from: number): SeatItem {
    this.take();
    const seat: Draft<SeatItem> = { item: "seat", from, to: from };
    if (this.isName() && !this.is("opens") && !this.is("stays")) seat.name = this.takeName();
    for (;;) {
      if ((this.is(";") || this.is(",")) && (this.is("opens", 2) || this.is("stays", 2))) this.take();
      const opens = this.is("opens");
      if (!opens && !this.is("stays")) break;
      this.take();
      if (opens) this.takeIf("open");
      this.takeIf("when") || this.takeIf("while");
      if (opens) seat.opens = this.readCondition(false);
      else seat.stays = this.readCondition(false);
    }
    seat.to = this.lastEnd();
    return seat;
  }

  private readMoves(from: number): MovesItem {
    this.take();
    const moves: Draft<MovesItem> = { item: "moves", from, to: from };
    if (this.isLabel()) moves.label = this.takeLabel();
    else this.missing("what it moves", 'Say it in quotes: `moves "drum"`.');
    if (this.takeIf("turning")) {
      if (this.isName()) moves.turning = this.takeName();
      else this.missing("the direction", "Write `turning left` or `turning right`.");
    }
    if (this.is("guarded")) moves.guard = this.readGuard();
    moves.to = this.lastEnd();
    return moves;
  }

  private readGuard() {
    const from = this.take().startOffset;
    if (!this.takeIf("by")) this.missing("`by`", "Write `guarded by DOOR in shut`.");
    const condition = this.readCondition(false);
    return { from, to: this.lastEnd(), condition };
  }
}
