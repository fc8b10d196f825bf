/**
 * The rules: a file of statements, parts with their header and block, charts, proposals, findings. Each rule makes its node and
 * hands it on before it fills it, so that nothing that was read is lost when something else is wrong.
 */
import * as tokens from "./lexer.ts";
import { endOf, type Token } from "./lexer.ts";
import { unexpectedWord } from "./messages.ts";
import type { ChartDraft } from "./read-chart.ts";
import type { ItemTarget } from "./read-item.ts";
import { StatementReader } from "./read-statement.ts";
import type { Draft } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type {
  ContactItem,
  ExpectStatement,
  FindingsEntry,
  Item,
  MachineStatement,
  NameNode,
  NoteStatement,
  PartStatement,
  PointNode,
  ProposalEdit,
  SpeedSwitchItem,
  Statement,
  SupplyStatement,
  SyntaxError as TextError,
  TextNode,
  TypeStatement,
  UseStatement,
  WireStatement,
} from "./tree.ts";
import { findingsWords, itemsOf, kindNamed, kinds, proposalWords, statements } from "./vocabulary.ts";

const startWords = [...statements.map((entry) => entry.word), ...kinds.map((entry) => entry.word)];
const wireWords = new Set(["wire", "bond", "strap", "jumper"]);
type Block = { block?: TextNode; to: number };

export class CamleafParser extends StatementReader {
  private statements: Statement[] = [];
  private edits: ProposalEdit[] = [];
  private entries: FindingsEntry[] = [];
  private chartDraft: ChartDraft | undefined;
  private speedContacts: ContactItem[] = [];

  constructor() {
    super();
    this.performSelfAnalysis();
  }

  /** Reads separated tokens of `source`. */
  read(source: string, input: Token[]): { statements: Statement[]; errors: TextError[] } {
    this.source = source;
    this.problems = [];
    this.statements = [];
    this.input = input;
    this.file();
    for (const error of this.errors) {
      const token = error.token as Token;
      const from = Number.isFinite(token.startOffset) ? token.startOffset : source.length;
      this.problems.push(
        unexpectedWord(from, Math.min(from + token.image.length, source.length), token.image || "the end", "here", []),
      );
    }
    return { statements: this.statements, errors: this.problems };
  }

  private readonly file = this.RULE(
    "file",
    () => {
      this.MANY(() => this.SUBRULE(this.statement));
      // A text without any statement is one End.
      this.OPTION(() => this.CONSUME(tokens.End));
    },
    { resyncEnabled: true },
  );

  private readonly statement = this.RULE(
    "statement",
    () => {
      this.OR([
        { ALT: () => this.SUBRULE(this.part) },
        { ALT: () => this.SUBRULE(this.wire) },
        { ALT: () => this.SUBRULE(this.type) },
        { ALT: () => this.SUBRULE(this.proposal) },
        { ALT: () => this.SUBRULE(this.findings) },
        { ALT: () => this.SUBRULE(this.line) },
        { ALT: () => this.SUBRULE(this.stray) },
      ]);
      this.CONSUME(tokens.End);
    },
    { resyncEnabled: true },
  );

  // ------------------------------------------------------------ one line

  private readonly wire = this.RULE("wire", () => {
    const start = this.CONSUME(tokens.StartWire);
    this.ACTION(() => {
      const wire = this.wireDraft(start as Token);
      this.statements.push(wire);
      this.readWire(wire);
      this.readRest("in a wire's line");
      wire.to = this.lastEnd();
    });
  });

  private wireDraft(start: Token) {
    const word = (start.meant ?? start.image) as WireStatement["word"];
    return { statement: "wire", word, from: start.startOffset, to: endOf(start), links: [] } as Draft<WireStatement> & {
      links: [];
    };
  }

  private readonly line = this.RULE("line", () => {
    const start = this.OR([
      { ALT: () => this.CONSUME(tokens.StartMachine) },
      { ALT: () => this.CONSUME(tokens.StartSupply) },
      { ALT: () => this.CONSUME(tokens.StartUse) },
      { ALT: () => this.CONSUME(tokens.StartExpect) },
      { ALT: () => this.CONSUME(tokens.StartNote) },
    ]) as Token;
    this.ACTION(() => {
      const node = this.readLine(start);
      this.readRest(`in a \`${start.meant ?? start.image}\` line`);
      node.to = this.lastEnd();
    });
  });

  private readLine(start: Token): { to: number } {
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

  private supplyDraft(from: number) {
    return { statement: "supply" as const, from, to: this.lastEnd(), quantities: [], properties: [] };
  }

  /** A line that no statement word begins. */
  private readonly stray = this.RULE("stray", () => {
    this.OR([{ ALT: () => this.CONSUME(tokens.Stray) }, { ALT: () => this.CONSUME(tokens.LBrace) }]);
    this.ACTION(() => {
      const first = this.LA(0) as Token;
      const second = this.word();
      const count = this.problems.length;
      this.readRest("here");
      this.problems.length = count;
      const near = nearestNames(first.image, startWords);
      if (kindNamed(second)) near.unshift(`${second} ${first.image}`);
      this.problems.push({
        from: first.startOffset,
        to: endOf(first),
        id: "unknown-statement",
        what: `No statement begins with \`${first.image}\`.`,
        advice:
          near.length > 0
            ? `Did you mean ${near
                .slice(0, 4)
                .map((word) => `\`${word}\``)
                .join(", ")}?`
            : "Begin with a kind of part such as `heater`, or with `wire`, `expect`, `note`.",
        ...(near.length > 0 ? { suggestions: near } : {}),
      });
    });
  });

  // ------------------------------------------------------------ parts and types

  private readonly part = this.RULE("part", () => {
    const start = this.CONSUME(tokens.StartKind) as Token;
    const part = this.ACTION(() => {
      const draft = this.partDraft(start, true);
      this.statements.push(draft as PartStatement);
      return draft;
    });
    this.SUBRULE(this.body, { ARGS: [part] });
  });

  /** Kind and name; with `named` the name is wanted. */
  private partDraft(kind: Token, named: boolean): Draft<PartStatement> & ItemTarget & Block {
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

  private readPartName(draft: { name?: NameNode }, kind: string, named: boolean): void {
    const ofType = this.is("of") && this.is("type", 2);
    const name = this.isWord() && !this.is("to", 2) && !ofType && (named || this.propertyHere("part") === undefined);
    if (name) draft.name = this.takeName();
    else if (named)
      this.missing(
        `the name of the ${kind}`,
        `Name it as the wiring sheet does: \`${kindNamed(kind)?.example ?? kind}\`.`,
      );
  }

  private readonly type = this.RULE("type", () => {
    const start = this.CONSUME(tokens.StartType) as Token;
    const draft = this.ACTION(() => {
      const type: Draft<TypeStatement> & Block = {
        statement: "type",
        from: start.startOffset,
        to: endOf(start),
        items: [],
      };
      this.statements.push(type as TypeStatement);
      if (this.isWord() && !(kindNamed(this.word()) && !kindNamed(this.word(2)))) type.name = this.takeName();
      else this.missing("the name of the type", "Write `type Q7 timer { }`.");
      if (kindNamed(this.word())) type.kind = this.takeName();
      else {
        const near = nearestNames(
          this.word(),
          kinds.map((kind) => kind.word),
        );
        if (this.isWord()) {
          const at = this.take();
          this.problems.push(unexpectedWord(at.startOffset, endOf(at), at.image, "as a kind of part", near));
        } else this.missing("the kind of part", "Write `type Q7 timer { }`.");
      }
      return type;
    });
    this.SUBRULE(this.body, { ARGS: [draft] });
  });

  /** Header items, then a block in braces: the rest of a part or type. */
  private readonly body = this.RULE(
    "body",
    (draft: Draft<PartStatement> | Draft<TypeStatement>) => {
      const outer = this.target;
      const target = this.ACTION(() => {
        const kind = typeof draft.kind === "object" ? draft.kind.text : "";
        const next: ItemTarget = { kind, items: draft.items as Item[] };
        this.target = next;
        return next;
      });
      this.SUBRULE(this.header);
      this.OPTION(() => {
        const open = this.CONSUME(tokens.LBrace);
        this.MANY(() => this.SUBRULE(this.segment));
        const close = this.CONSUME(tokens.RBrace);
        this.ACTION(() => {
          draft.block = { from: open.startOffset, to: endOf(close) };
        });
      });
      this.ACTION(() => {
        if (target.label) draft.label = target.label;
        if (target.ofType) (draft as Draft<PartStatement>).ofType = target.ofType;
        this.target = outer;
        this.readRest(
          target.kind ? `behind this ${target.kind}` : "here",
          itemsOf(target.kind).map((item) => item.word),
        );
        draft.to = this.lastEnd();
      });
    },
    { resyncEnabled: true },
  );

  private readonly header = this.RULE(
    "header",
    () => {
      this.MANY({ GATE: () => this.itemHere(), DEF: () => this.SUBRULE(this.item) });
    },
    { resyncEnabled: true },
  );

  /** One line of a block. */
  private readonly segment = this.RULE(
    "segment",
    () => {
      this.AT_LEAST_ONE({ GATE: () => this.itemHere(), DEF: () => this.SUBRULE(this.item) });
      this.ACTION(() => this.readRest(this.target.kind ? `in a ${this.target.kind}` : "here"));
      this.CONSUME(tokens.End);
    },
    { resyncEnabled: true },
  );

  /** Gives the next word its item token; false at the end of the items. */
  private itemHere(): boolean {
    if (this.atEnd()) return false;
    const token = this.peek();
    const type =
      token.image === "chart" ? tokens.ItemChart : token.image === "speed-switch" ? tokens.ItemSpeedSwitch : undefined;
    if (type && !this.is("to", 2)) {
      token.tokenType = type;
      token.tokenTypeIdx = type.tokenTypeIdx!;
    }
    return true;
  }

  private readonly item = this.RULE(
    "item",
    () => {
      this.OR([
        { ALT: () => this.SUBRULE(this.chart) },
        { ALT: () => this.SUBRULE(this.speedSwitch) },
        {
          ALT: () => {
            if (this.RECORDING_PHASE) this.CONSUME(tokens.Stray);
            else this.readItem();
          },
        },
      ]);
    },
    { resyncEnabled: true },
  );

  private readonly chart = this.RULE("chart", () => {
    const start = this.CONSUME(tokens.ItemChart);
    const chart = this.ACTION(() => {
      const draft: ChartDraft = {
        item: "chart",
        from: start.startOffset,
        to: endOf(start),
        fast: false,
        repeats: false,
        steps: [],
        rows: [],
      };
      this.target.items.push(draft);
      this.readChartHead(draft);
      this.chartDraft = draft;
      return draft;
    });
    this.OPTION(() => {
      this.CONSUME(tokens.LBrace);
      this.MANY(() => this.SUBRULE(this.chartRow));
      this.CONSUME(tokens.RBrace);
    });
    this.ACTION(() => {
      chart.to = this.lastEnd();
      this.checkChart(chart);
    });
  });

  private readonly chartRow = this.RULE(
    "chartRow",
    () => {
      if (this.RECORDING_PHASE) this.CONSUME(tokens.Stray);
      else {
        this.readChartRow(this.chartDraft!);
        this.readRest("in a chart", ["steps"]);
      }
      this.CONSUME(tokens.End);
    },
    { resyncEnabled: true },
  );

  private readonly speedSwitch = this.RULE("speedSwitch", () => {
    const start = this.CONSUME(tokens.ItemSpeedSwitch);
    const item = this.ACTION(() => {
      this.speedContacts = [];
      const draft: Draft<SpeedSwitchItem> = {
        item: "speed-switch",
        from: start.startOffset,
        to: endOf(start),
        contacts: this.speedContacts,
      };
      this.target.items.push(draft);
      return draft;
    });
    this.OPTION(() => {
      this.CONSUME(tokens.LBrace);
      this.MANY(() => this.SUBRULE(this.speedContact));
      this.CONSUME(tokens.RBrace);
    });
    this.ACTION(() => {
      item.to = this.lastEnd();
    });
  });

  private readonly speedContact = this.RULE(
    "speedContact",
    () => {
      if (this.RECORDING_PHASE) this.CONSUME(tokens.Stray);
      else {
        const word = this.peek().meant ?? this.word();
        const from = this.peek().startOffset;
        if (word === "contact") this.take();
        if (word === "contact" || this.is("to", 2))
          this.speedContacts.push(this.readContact(from, word === "contact" ? word : ""));
        this.readRest("in a speed switch", ["contact", "while"]);
      }
      this.CONSUME(tokens.End);
    },
    { resyncEnabled: true },
  );

  // ------------------------------------------------------------ proposals and findings

  private readonly proposal = this.RULE("proposal", () => {
    const start = this.CONSUME(tokens.StartProposal);
    const proposal = this.ACTION(() => {
      this.edits = [];
      const draft = {
        statement: "proposal" as const,
        from: start.startOffset,
        to: endOf(start),
        with: [],
        edits: this.edits,
      } as Extract<Statement, { statement: "proposal" }>;
      this.statements.push(draft);
      this.readProposal(draft as never);
      return draft as Draft<typeof draft>;
    });
    this.OPTION(() => {
      const open = this.CONSUME(tokens.LBrace);
      this.MANY(() => this.SUBRULE(this.edit));
      const close = this.CONSUME(tokens.RBrace);
      this.ACTION(() => {
        proposal.block = { from: open.startOffset, to: endOf(close) };
      });
    });
    this.ACTION(() => {
      this.readRest("in a proposal's line");
      proposal.to = this.lastEnd();
    });
  });

  private readonly edit = this.RULE(
    "edit",
    () => {
      const draft = this.OR([
        {
          ALT: () => {
            const start = this.CONSUME(tokens.StartEdit) as Token;
            return this.ACTION(() => this.readEdit(start));
          },
        },
        {
          ALT: () => {
            const first = this.CONSUME(tokens.Stray) as Token;
            return this.ACTION(() =>
              this.unknownLine(
                first,
                proposalWords.map((entry) => entry.word),
                "in a proposal",
              ),
            );
          },
        },
      ]);
      this.OPTION({ GATE: () => draft !== undefined, DEF: () => this.SUBRULE(this.body, { ARGS: [draft!] }) });
      this.ACTION(() => {
        this.readRest("in a proposal");
        const last = this.edits[this.edits.length - 1] as { to: number } | undefined;
        if (last) last.to = this.lastEnd();
      });
      this.CONSUME(tokens.End);
    },
    { resyncEnabled: true },
  );

  /** Reads an edit up to where items follow; returns what the items belong to. */
  private readEdit(start: Token): (Draft<PartStatement> & ItemTarget & Block) | undefined {
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

  private editWire(start: Token): WireStatement {
    const wire = this.wireDraft(start);
    this.readWire(wire);
    return wire;
  }

  private named<Key extends string>(key: Key, what: string, example: string): { [K in Key]?: NameNode } {
    if (this.isName()) return { [key]: this.takeName() } as { [K in Key]?: NameNode };
    this.missing(what, `Write \`${example}\`.`);
    return {};
  }

  private expectWord(word: string, example: string): void {
    if (!this.takeIf(word)) this.missing(`\`${word}\``, `Write \`${example}\`.`);
  }

  private readReplace(place: TextNode): (Draft<PartStatement> & ItemTarget & Block) | undefined {
    const part = this.named("part", "the part", "replace TM by type Q9");
    this.expectWord("by", "replace TM by type Q9");
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

  private readChange(place: TextNode): (Draft<PartStatement> & ItemTarget & Block) | undefined {
    if (this.is("supply")) {
      const supply: ReturnType<CamleafParser["supplyDraft"]> = this.supplyDraft(this.take().startOffset);
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

  private readonly findings = this.RULE("findings", () => {
    const start = this.CONSUME(tokens.StartFindings);
    const findings = this.ACTION(() => {
      this.entries = [];
      const draft: Draft<Extract<Statement, { statement: "findings" }>> = {
        statement: "findings",
        from: start.startOffset,
        to: endOf(start),
        entries: this.entries,
      };
      this.statements.push(draft as Statement);
      if (this.isLabel()) draft.label = this.takeLabel();
      return draft;
    });
    this.OPTION(() => {
      const open = this.CONSUME(tokens.LBrace);
      this.MANY(() => this.SUBRULE(this.entry));
      const close = this.CONSUME(tokens.RBrace);
      this.ACTION(() => {
        findings.block = { from: open.startOffset, to: endOf(close) };
      });
    });
    this.ACTION(() => {
      this.readRest("in the line of findings");
      findings.to = this.lastEnd();
    });
  });

  private readonly entry = this.RULE(
    "entry",
    () => {
      this.OR([
        {
          ALT: () => {
            const start = this.CONSUME(tokens.StartEntry) as Token;
            this.ACTION(() => this.readEntry(this.entries, start.meant ?? start.image, start.startOffset));
          },
        },
        {
          ALT: () => {
            const first = this.CONSUME(tokens.Stray) as Token;
            this.ACTION(() =>
              this.unknownLine(
                first,
                findingsWords.map((entry) => entry.word),
                "in findings",
              ),
            );
          },
        },
      ]);
      this.ACTION(() => this.readRest("in findings"));
      this.CONSUME(tokens.End);
    },
    { resyncEnabled: true },
  );

  private unknownLine(first: Token, words: readonly string[], where: string): undefined {
    const count = this.problems.length;
    this.readRest(where);
    this.problems.length = count;
    this.problems.push(
      unexpectedWord(first.startOffset, endOf(first), first.image, where, nearestNames(first.image, words)),
    );
    return undefined;
  }
}
