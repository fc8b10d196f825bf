/** Heads of statements that items may follow: single lines, parts, and the edits of a proposal. */

import { editHabit } from "./habits.ts";
import * as tokens from "./lexer.ts";
import { endOf, type Token } from "./lexer.ts";
import { unexpectedWord } from "./messages.ts";
import type { ItemTarget } from "./read-property.ts";
import { StatementReader } from "./read-statement.ts";
import type { Draft } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type {
  ExpectStatement,
  Item,
  MachineStatement,
  NameNode,
  NoteStatement,
  PartStatement,
  PointNode,
  ProposalEdit,
  Statement,
  SupplyStatement,
  TextNode,
  UseStatement,
  WireStatement,
} from "./tree.ts";
import { kindNamed } from "./vocabulary.ts";

const wireWords = new Set(["wire", "bond", "strap", "jumper"]);
/** What a block adds to a part or type. */
export type Block = { block?: TextNode; to: number };

export class EditReader extends StatementReader {
  protected statements: Statement[] = [];
  protected edits: ProposalEdit[] = [];

  protected wireDraft(start: Token) {
    const word = (start.meant ?? start.image) as WireStatement["word"];
    return { statement: "wire", word, from: start.startOffset, to: endOf(start), links: [] } as Draft<WireStatement> & {
      links: [];
    };
  }

  protected readLine(start: Token): { to: number } {
    const place = { from: start.startOffset, to: endOf(start) };
    const push = <T extends Draft<Statement>>(node: T): T => {
      this.statements.push(node as Statement);
      return node;
    };
    switch (start.tokenType) {
      case tokens.StartMachine: {
        const machine = push<Draft<MachineStatement>>({ statement: "machine", ...place });
        this.readMachine(machine);
        return machine;
      }
      case tokens.StartUse: {
        const use = push<Draft<UseStatement>>({ statement: "use", ...place });
        this.readUse(use);
        return use;
      }
      case tokens.StartExpect: {
        const expect = push<Draft<ExpectStatement>>({ statement: "expect", ...place });
        this.readExpect(expect);
        return expect;
      }
      case tokens.StartNote: {
        const note = push<Draft<NoteStatement>>({ statement: "note", ...place });
        this.readNote(note);
        return note;
      }
      default: {
        const supply = push(this.supplyDraft(place.from));
        this.readSupply(supply);
        return supply;
      }
    }
  }

  protected supplyDraft(from: number) {
    return { statement: "supply" as const, from, to: this.lastEnd(), quantities: [], properties: [] };
  }

  /** Kind and name; with `named` the name is wanted. */
  protected partDraft(kind: Token, named: boolean): Draft<PartStatement> & ItemTarget & Block {
    const name = this.nameOf(kind);
    const draft = {
      statement: "part" as const,
      from: kind.startOffset,
      to: endOf(kind),
      kind: name,
      items: [] as Item[],
    };
    this.readPartName(draft as Draft<PartStatement>, name.text, named);
    return draft as unknown as Draft<PartStatement> & ItemTarget & Block;
  }

  protected readPartName(draft: { name?: NameNode }, kind: string, named: boolean): void {
    const ofType = this.is("of") && this.is("type", 2);
    const name = this.isWord() && !this.is("to", 2) && !ofType && (named || this.propertyHere("part") === undefined);
    if (name) draft.name = this.takeName();
    else if (named)
      this.missing(
        `the name of the ${kind}`,
        `Name it as the wiring sheet does: \`${kindNamed(kind)?.example ?? kind}\`.`,
      );
  }

  /** Reads an edit up to where items follow; returns what the items belong to. */
  protected readEdit(start: Token): (Draft<PartStatement> & ItemTarget & Block) | undefined {
    const word = start.meant ?? start.image;
    const place = { from: start.startOffset, to: endOf(start) };
    const push = (edit: ProposalEdit) => void this.edits.push(edit);
    if (wireWords.has(word)) {
      push({ edit: "wire", wire: this.editWire(start), ...place });
      return undefined;
    }
    if (kindNamed(word)) {
      const part = this.partDraft(start, true);
      push({ edit: "add", part: part as PartStatement, ...place });
      return part;
    }
    switch (word) {
      case "add": {
        if (wireWords.has(this.word())) {
          push({ edit: "wire", wire: this.editWire(this.take()), ...place });
          return undefined;
        }
        if (!kindNamed(this.word())) {
          this.missing("the kind of part", "Write the part as anywhere else: `add fuse F1 10 A`.");
          return undefined;
        }
        const part = this.partDraft(this.take(), true);
        push({ edit: "add", part: part as PartStatement, ...place });
        return part;
      }
      case "remove":
        if (wireWords.has(this.word())) push({ edit: "remove", wire: this.editWire(this.take()), ...place });
        else push({ edit: "remove", ...this.named("part", "the part", "remove HL"), ...place });
        return undefined;
      case "rename": {
        const part = this.named("part", "the part", "rename TM to T1");
        this.expectWord("to", "rename TM to T1");
        push({ edit: "rename", ...part, ...this.named("name", "the other name", "rename TM to T1"), ...place });
        return undefined;
      }
      case "move": {
        if (wireWords.has(this.word())) {
          const wire = this.editWire(this.take());
          const point = this.takeIf("end") ? this.readPoint("the wire's end") : undefined;
          this.expectWord("to", "move wire TM.D to CT end CT.1 to HL.1");
          const target = this.readPoint("the wire's end");
          push({ edit: "move", wire, ...(point ? { point } : {}), ...(target ? { target } : {}), ...place });
          return undefined;
        }
        const point = this.readPoint("the wire's end");
        this.expectWord("to", "move HT.1 to L2");
        const target = this.readPoint("the wire's end");
        if (!target) this.missing("the new point", "Write `move HT.1 to L2`.");
        push({ edit: "move", ...(point ? { point } : {}), ...(target ? { target } : {}), ...place });
        return undefined;
      }
      case "replace":
        return this.readReplace(place);
      default:
        return this.readChange(place);
    }
  }

  protected editWire(start: Token): WireStatement {
    const wire = this.wireDraft(start);
    this.readWire(wire);
    return wire;
  }

  protected named<Key extends string>(key: Key, what: string, example: string): { [K in Key]?: NameNode } {
    if (this.isName()) return { [key]: this.takeName() } as { [K in Key]?: NameNode };
    this.missing(what, `Write \`${example}\`.`);
    return {};
  }

  protected expectWord(word: string, example: string): void {
    if (!this.takeIf(word)) this.missing(`\`${word}\``, `Write \`${example}\`.`);
  }

  protected readReplace(place: TextNode): (Draft<PartStatement> & ItemTarget & Block) | undefined {
    const part = this.named("part", "the part", "replace TM by type Q9");
    if (this.is("with")) this.tellWritten(this.take(), "by", "replace TM by type Q9");
    else this.expectWord("by", "replace TM by type Q9");
    if (this.takeIf("type")) {
      this.edits.push({
        edit: "replace",
        ...part,
        ...this.named("byType", "the type", "replace TM by type Q9"),
        ...place,
      });
      return undefined;
    }
    if (!kindNamed(this.word())) {
      this.missing("what takes its place", "Write `by type Q9` or a part: `by heater 4800 W 240 V`.");
      this.edits.push({ edit: "replace", ...part, ...place });
      return undefined;
    }
    const by = this.partDraft(this.take(), false);
    this.edits.push({ edit: "replace", ...part, by: by as PartStatement, ...place });
    return by;
  }

  protected readChange(place: TextNode): (Draft<PartStatement> & ItemTarget & Block) | undefined {
    if (this.is("supply")) {
      const supply: ReturnType<EditReader["supplyDraft"]> = this.supplyDraft(this.take().startOffset);
      this.takeIf("to");
      this.readSupply(supply);
      supply.to = this.lastEnd();
      this.edits.push({ edit: "change", items: [], supply: supply as SupplyStatement, ...place });
      return undefined;
    }
    const target: PointNode | undefined = this.readPoint("the change");
    if (!target) this.missing("the part", "Write `change HT to 4800 W`.");
    this.takeIf("to");
    const items: Item[] = [];
    this.edits.push({ edit: "change", ...(target ? { target } : {}), items, ...place });
    // The kind is known to the machine room only: items of every kind are read.
    return { items, from: place.from, to: place.to, kind: "" } as never;
  }

  protected unknownLine(first: Token, words: readonly string[], where: string): undefined {
    const count = this.problems.length;
    this.readRest(where);
    this.problems.length = count;
    const advice = editHabit(first.image, this.source.slice(endOf(first), this.lastEnd()).trim());
    if (advice && where === "in a proposal") {
      const what = `No line of a proposal begins with \`${first.image}\`.`;
      this.problem({ from: first.startOffset, to: endOf(first) }, "unexpected-word", what, advice);
      return undefined;
    }
    this.problems.push(
      unexpectedWord(first.startOffset, endOf(first), first.image, where, nearestNames(first.image, words)),
    );
    return undefined;
  }
}
