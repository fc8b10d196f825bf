/** Statements of one line: wires, expectations, notes, the supply, edits of a proposal, entries of findings. */
import { colourCode } from "./colours.ts";
import { lineHabit } from "./habits.ts";
import { endOf, Slash } from "./lexer.ts";
import { fromHabit, unexpectedWord } from "./messages.ts";
import { ChartReader } from "./read-chart.ts";
import type { Draft } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type {
  ChainLinkNode,
  Dimension,
  ExpectStatement,
  FindingsEntry,
  LabelNode,
  MachineStatement,
  NoteStatement,
  PointNode,
  PropertyItem,
  ProposalStatement,
  QuantityNode,
  SupplyStatement,
  UseStatement,
  WireStatement,
} from "./tree.ts";
import { expectVerbs, properties, supplyForms } from "./vocabulary.ts";

const arrows = new Set(["-", "->", "=", ">", "<"]);
const readingDimensions: Readonly<Record<string, readonly Dimension[]>> = {
  volts: ["voltage"],
  ohms: ["resistance"],
  amps: ["current"],
  watts: ["power"],
};

export class StatementReader extends ChartReader {
  // ------------------------------------------------------------ machine, use, supply, note

  protected readMachine(machine: Draft<MachineStatement>): void {
    const label = this.readLabelOrWords("the machine's name", 'machine "Larkfield D5 dryer"');
    if (label) machine.label = label;
  }

  protected readUse(use: Draft<UseStatement>): void {
    const path = this.readLabelOrWords("the file", 'use "parts.camleaf"');
    if (path) use.path = path;
  }

  /** A label; words without quotes are taken for it up to the end, with an error. */
  protected readLabelOrWords(what: string, example: string): LabelNode | undefined {
    if (this.isLabel()) return this.takeLabel();
    if (this.atEnd()) {
      this.missing(what, `Write it in quotes: \`${example}\`.`);
      return undefined;
    }
    const from = this.peek().startOffset;
    while (!this.atEnd()) this.take();
    const to = this.lastEnd();
    const text = this.source.slice(from, to);
    this.problem({ from, to }, "label-without-quotes", "Texts for people stand in quotes.", `Write \`${example}\`.`, [
      `"${text}"`,
    ]);
    return { from, to, text };
  }

  protected readSupply(
    supply: Draft<SupplyStatement> & { quantities: QuantityNode[]; properties: PropertyItem[] },
  ): void {
    while (!this.atEnd()) {
      if (this.is(",")) {
        this.take();
        continue;
      }
      if (this.tellThreePhase() || this.tellBareLegs()) continue;
      if (this.isNumber()) {
        if (this.unitAhead(1) === "current") {
          supply.properties.push(this.readBareBreaker());
          continue;
        }
        const quantity = this.readQuantity(["voltage", "frequency"], "a supply");
        if (quantity) supply.quantities.push(quantity);
        continue;
      }
      const property = this.propertyHere("supply");
      if (property) supply.properties.push(this.readProperty(property, "supply"));
      else if (supplyForms.includes(this.word())) supply.form = this.takeName();
      else return;
    }
  }

  /** `supply 120/240 V 30 A`: read as the breaker, and said. */
  private readBareBreaker(): PropertyItem {
    const from = this.peek().startOffset;
    const quantity = this.readQuantity([], "a supply")!;
    const right = `breaker ${quantity.text}`;
    this.problem(quantity, "unexpected-word", "A current alone says nothing of a supply.", `Write \`${right}\`.`, [
      right,
    ]);
    const values: PropertyItem["values"] = [{ type: "quantity", quantity }];
    return { item: "property", word: "breaker", wordFrom: from, wordTo: from, values, from, to: quantity.to };
  }

  private tellThreePhase(): boolean {
    const first = this.peek();
    const counted = (this.is("3") || this.is("three")) && /^(phases?|ph)$/i.test(this.word(2));
    if (!counted && !/^(3|three)-?(phases?|ph)$/i.test(first.image)) return false;
    this.take();
    if (counted) this.take();
    this.problem(
      { from: first.startOffset, to: this.lastEnd() },
      "unexpected-word",
      "Machines on three phases are not understood.",
      "One or two live legs are: `supply single 230 V 50 Hz`, `supply 120/208 V 60 Hz`.",
    );
    return true;
  }

  /** `supply L1 L2 N 120/240 V`: names of legs where none are wanted. */
  private tellBareLegs(): boolean {
    if (!/^(L[123]?|N|PE|G)$/.test(this.word())) return false;
    const first = this.peek();
    while (/^(L[123]?|N|PE|G)$/.test(this.word())) this.take();
    this.problem(
      { from: first.startOffset, to: this.lastEnd() },
      "unexpected-word",
      "The legs of a supply need not be written.",
      "Leave them out: `supply 120/240 V 60 Hz` gives L1 L2 N PE. Other names stand behind `legs`: `legs L N PE`.",
      [""],
    );
    return true;
  }

  protected readNote(note: Draft<NoteStatement>): void {
    if (this.isName() && !this.isLabel() && !this.is("photo")) {
      const subject = this.readPoint("the note");
      if (subject) note.subject = subject;
    }
    if (this.isLabel() || (!this.atEnd() && !this.is("photo"))) {
      const label = this.readLabelOrWords("the text of the note", 'note HT "new coil"');
      if (label) note.label = label;
    }
    if (this.takeIf("photo")) {
      const photo = this.readLabelOrWords("the picture's file", 'photo "timer.jpg"');
      if (photo) note.photo = photo;
    }
    if (!note.label && !note.photo) this.missing("the text of the note", 'Write it in quotes: `note HT "new coil"`.');
  }

  // ------------------------------------------------------------ wires

  protected readWire(wire: Draft<WireStatement> & { links: ChainLinkNode[] }): void {
    if (this.wireNamed()) wire.name = this.takeName();
    const first = this.readLink();
    if (first) wire.links.push(first);
    while (this.readNextLink(wire.links));
    this.readWireTail(wire);
    wire.to = this.lastEnd();
    if (wire.links.length >= 2) {
      this.tellSecondWire(wire);
      return;
    }
    const only = wire.links[0];
    const halves = only?.part?.text.split("-");
    if (only && halves?.length === 2 && halves[0] && halves[1]) {
      this.problem(only, "missing-to", `\`${only.part!.text}\` is read as one name.`, "Use `to` to join two points.", [
        `${halves[0]} to ${halves[1]}`,
      ]);
    } else if (this.lastEnd() === (only?.to ?? -1) || !only) {
      this.missing("the other end", `Join two points or more: \`${wire.word} L1 to TM.C\`.`);
    }
  }

  /** `wire L1 to DL, TM.A`: told as a whole, not word by word. */
  private tellSecondWire(wire: Draft<WireStatement>): void {
    const joined = this.is("and") || (this.LA(0) as { image: string }).image === ",";
    if (!joined || !this.isName(this.is("and") ? 2 : 1)) return;
    const from = this.peek().startOffset;
    while (!this.atEnd()) this.take();
    const { from: start, to } = wire.links[0]!;
    this.problem(
      { from, to: this.lastEnd() },
      "unexpected-word",
      "A wire joins its points in a chain, one behind the other.",
      `For a second wire from the same point write a line of its own: \`${wire.word} ${this.source.slice(start, to)} to ...\`.`,
    );
  }

  /** `wire W12 L1 to TM.C`: the first word is the wire's name when a whole chain follows. */
  private wireNamed(): boolean {
    if (!this.isWord() || !this.isName(2) || this.isLabel(2) || this.is("to", 2)) return false;
    return this.is("to", 3) || (this.is(".", 3) && this.is("to", 5)) || this.is("(", 3);
  }

  private readNextLink(links: ChainLinkNode[]): boolean {
    if (this.takeIf("to")) {
      const link = this.readLink();
      if (link) links.push(link);
      else if (!this.atEnd() && this.is("to")) this.missing("the next point", "Name the point between the two `to`.");
      else this.missing("the next point", "Name the point that the wire goes to: `to TM.C`.");
      return link !== undefined || this.is("to");
    }
    if (links.length === 0 || this.atEnd()) return false;
    const token = this.peek();
    if (arrows.has(token.image)) {
      this.take();
      while (arrows.has(this.peek().image)) this.take();
      const link = this.readLink();
      if (link) links.push(link);
      const place = { from: token.startOffset, to: endOf(token) };
      this.problem(place, "missing-to", `\`${token.image}\` joins nothing here.`, "Use `to` to join points.", ["to"]);
      return link !== undefined;
    }
    const forgotten =
      this.isWord() &&
      this.sameLine() &&
      !this.colourHere() &&
      (this.is(".", 2) || this.is("to", 2) || this.is("(", 2));
    if (!forgotten) return false;
    const link = this.readLink()!;
    links.push(link);
    this.problem(link, "missing-to", "Here `to` is missing before this point.", "Join the points of a chain by `to`.");
    return true;
  }

  /** `TM.C`, `CT`, `DM(2 1)`. */
  private readLink(): ChainLinkNode | undefined {
    if (!this.isName() || this.is("to")) return undefined;
    const link: Draft<ChainLinkNode> = { ...this.readPoint("the wire")! };
    if (!this.is("(") || !this.sameLine()) return link;
    this.take();
    if (this.isName()) link.enter = this.takeName();
    if (this.is("to") || this.is(",")) this.take();
    if (this.isName()) link.leave = this.takeName();
    else this.missing("the terminal where it leaves", "Name both terminals: `DM(2 1)`, in at 2 and out at 1.");
    if (!this.takeIf(")")) this.missing("a `)`", "Close the bracket behind the two terminals.");
    link.to = this.lastEnd();
    return link;
  }

  private colourHere(): boolean {
    const word = this.word();
    return word !== "" && colourCode(word) !== undefined;
  }

  private readWireTail(wire: Draft<WireStatement>): void {
    while (!this.atEnd()) {
      if (this.is(",")) this.take();
      else if (this.isNumber()) {
        const quantity = this.readQuantity(["wire-size", "length", "temperature"], "a wire");
        if (quantity?.dimension === "wire-size") wire.size = quantity;
        else if (quantity?.dimension === "length") wire.length = quantity;
        else if (quantity?.dimension === "temperature") wire.insulation = quantity;
      } else if (this.isLabel()) wire.label = this.takeLabel();
      else if (this.colourHere()) {
        const first = this.take();
        const tracer = this.peek().tokenType === Slash && colourCode(this.word(2)) !== undefined;
        if (tracer) {
          this.take();
          this.take();
        }
        const to = this.lastEnd();
        wire.colour = { from: first.startOffset, to, text: this.source.slice(first.startOffset, to) };
      } else return;
    }
  }

  // ------------------------------------------------------------ expectations

  protected readExpect(expect: Draft<ExpectStatement>): void {
    const subject = this.readPoint("the expectation");
    if (subject) expect.subject = subject;
    else {
      this.missing("the part", "Say of which part: `expect HT off when DOOR open`.");
      return;
    }
    this.takeIf("is");
    if (this.isWord() && !this.is("when") && !this.is("after")) {
      let verb = this.takeName();
      const joined =
        (verb.text === "stays" && this.isWord()) || (verb.text === "runs" && (this.is("left") || this.is("right")));
      if (joined) {
        const second = this.takeName();
        verb = { from: verb.from, to: second.to, text: `${verb.text} ${second.text}` };
      }
      expect.verb = verb;
      const first = verb.text.split(" ")[0]!;
      if (!expectVerbs.includes(verb.text) && first !== "runs" && first !== "stays") {
        const denied = /^(not|never)$/.test(verb.text);
        const near = denied ? ["off"] : nearestNames(verb.text, expectVerbs);
        if (denied && this.isWord() && !this.is("when")) verb = { ...verb, to: this.takeName().to };
        if (near.length === 0 && this.takeFurtherParts()) {
          this.problem(
            verb,
            "unexpected-word",
            `An expectation speaks of one part, and \`${verb.text}\` is a second one.`,
            "Write a line for each.",
          );
          expect.verb = this.takeName();
        } else
          this.problems.push(
            unexpectedWord(
              verb.from,
              verb.to,
              this.source.slice(verb.from, verb.to),
              "in an expectation",
              near.length > 0 ? near : ["off", "works", "runs", "heats"],
            ),
          );
      }
    } else this.missing("what is expected", "Say what it should do: `off`, `works`, `runs`, `heats`, `waits`.");
    if (this.isNumber()) {
      const wanted: Dimension[] =
        expect.verb?.text === "draws" ? ["current", "power"] : ["voltage", "current", "power"];
      const quantity = this.readQuantity(wanted, "an expectation");
      if (quantity) expect.quantity = quantity;
    }
    for (;;) {
      if (this.takeIf("when")) expect.when = this.readCondition(false);
      else if (this.takeIf("after")) {
        expect.after = this.readTerms(false);
        if (expect.after.length === 0)
          this.missing("the changes", "Write the changes in order: `after DOOR open, DOOR shut`.");
      } else return;
    }
  }

  /** `expect E1 E2 E3 heats`: the parts up to the verb; false, and nothing taken, where no verb follows them. */
  private takeFurtherParts(): boolean {
    let ahead = 1;
    while (this.isWord(ahead) && !expectVerbs.includes(this.word(ahead)) && !this.is("when", ahead)) ahead++;
    if (!expectVerbs.includes(this.word(ahead))) return false;
    for (; ahead > 1; ahead--) this.take();
    return true;
  }

  // ------------------------------------------------------------ proposals and findings

  protected readProposal(proposal: Draft<ProposalStatement> & { with: LabelNode[] }): void {
    if (this.isLabel()) proposal.label = this.takeLabel();
    while (this.is("with") || this.is(",") || this.is("and")) {
      this.take();
      if (this.isLabel()) proposal.with.push(this.takeLabel());
      else this.missing("the other proposal", 'Name it in quotes: `with "other proposal"`.');
    }
  }

  protected readEntry(entries: FindingsEntry[], word: string, from: number): void {
    if (word === "when") {
      const condition = this.readCondition(false);
      entries.push({ entry: "when", condition, from, to: this.lastEnd() });
    } else if (readingDimensions[word]) this.readReading(entries, word as "volts", from);
    else this.readSymptom(entries, word, from);
  }

  private readSymptom(entries: FindingsEntry[], word: string, from: number): void {
    const subject = this.isLabel() ? undefined : this.readPoint("the finding");
    const start = this.peek().startOffset;
    let what: { from: number; to: number; text: string } | undefined;
    if (this.isLabel()) what = this.takeLabel();
    else if (!this.atEnd()) {
      while (!this.atEnd() && !this.isLabel()) this.take();
      what = { from: start, to: this.lastEnd(), text: this.source.slice(start, this.lastEnd()) };
    }
    if (!subject && !what) this.missing("the part and what it does", "Write for example `heard DM hums`.");
    entries.push({
      entry: "symptom",
      word,
      ...(subject ? { subject } : {}),
      ...(what ? { what } : {}),
      from,
      to: this.lastEnd(),
    });
  }

  private readReading(entries: FindingsEntry[], word: "volts" | "ohms" | "amps" | "watts", from: number): void {
    if (this.is("at") || this.is("of") || this.is("in")) this.take();
    const a = this.readPoint("the reading");
    let b: PointNode | undefined;
    if (this.takeIf("to")) {
      b = this.readPoint("the reading");
      if (!b) this.missing("the other point", `Name both points: \`${word} TM.7 to N\`.`);
    } else if (
      a &&
      this.isWord() &&
      this.sameLine() &&
      !this.is("open") &&
      !this.is("unplugged") &&
      !this.is("lifted")
    ) {
      b = this.readPoint("the reading")!;
      this.problem(
        b,
        "missing-to",
        "Here `to` is missing before the other point.",
        `Join the two points by \`to\`: \`${word} TM.7 to N\`.`,
      );
    }
    if (!a) this.missing("the points", `Name what was measured: \`${word} TM.7 to N\`.`);
    let value: QuantityNode | undefined;
    let open = false;
    let unplugged = false;
    const lifted: PointNode[] = [];
    for (;;) {
      if (this.isNumber() && !value) value = this.readQuantity(readingDimensions[word]!, `\`${word}\``, true);
      else if (this.takeIf("open") || this.takeIf("OL")) open = true;
      else if (!open && !value && this.tellReadingHabit()) open = this.LA(0).image !== ":" && this.LA(0).image !== "=";
      else if (this.takeIf("unplugged")) unplugged = true;
      else if (this.takeIf("lifted")) {
        do {
          const point = this.readPoint("the lifted lead");
          if (point) lifted.push(point);
          else this.missing("the lifted lead", "Name the terminal whose lead was taken off: `lifted HT.1`.");
        } while ((this.is("and") || this.is(",")) && this.isName(2) && this.take());
      } else if (this.is(",")) this.take();
      else break;
    }
    if (!value && !open) this.missing("the reading", "Write what the meter showed, or `open`.");
    entries.push({
      entry: "reading",
      word,
      ...(a ? { a } : {}),
      ...(b ? { b } : {}),
      ...(value ? { value } : {}),
      ...(open ? { open } : {}),
      unplugged,
      ...(lifted.length > 0 ? { lifted } : {}),
      from,
      to: this.lastEnd(),
    });
  }

  /** `infinite` for `open`, and the colon before a value. */
  private tellReadingHabit(): boolean {
    const at = this.peek();
    const sign = this.is(":") || this.is("=");
    if (!sign && !/^(inf|infinite|infinity)$/i.test(this.word())) return false;
    this.take();
    if (!sign) {
      this.tellWritten(at, "open");
      return true;
    }
    const place = { from: at.startOffset, to: endOf(at) };
    this.problem(place, "unexpected-word", `\`${at.image}\` means nothing before a reading.`, "Leave it out.", [""]);
    return true;
  }

  // ------------------------------------------------------------ what is left

  /** Takes the tokens of a statement that nothing wanted, with one error at the first, braces inside them included. */
  protected readRest(where: string, candidates: readonly string[] = []): void {
    const first = this.peek();
    let depth = 0;
    let taken = 0;
    const start = first.startOffset;
    for (;;) {
      const name = this.peek().tokenType.name;
      if (name === "EOF" || (depth === 0 && (name === "End" || name === "RBrace"))) break;
      if (name === "LBrace") depth++;
      else if (name === "RBrace") depth--;
      this.take();
      taken++;
    }
    if (taken === 0) return;
    const habit = lineHabit(first.image);
    if (habit) {
      this.problems.push(
        fromHabit(start, endOf(first), "unexpected-word", `\`${first.image}\` means nothing ${where}.`, habit),
      );
      return;
    }
    const words = candidates.length > 0 ? candidates : properties.map((property) => property.word);
    const near = first.tokenType.name === "Word" ? nearestNames(first.image, words) : [];
    const to = near.length > 0 || first.image === "{" ? endOf(first) : Math.min(this.lastEnd(), this.lineEnd(start));
    this.problems.push(unexpectedWord(start, Math.max(to, endOf(first)), first.image, where, near));
  }

  private lineEnd(from: number): number {
    const at = this.source.indexOf("\n", from);
    return at < 0 ? this.source.length : at;
  }
}
