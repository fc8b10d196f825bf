/**
 * The rules: a file of statements, parts with their header and block, charts, proposals, findings. Each rule makes its node and
 * hands it on before it fills it, so that nothing that was read is lost when something else is wrong.
 */

import { isRemark, remarkHabit, statementHabit } from "./habits.ts";
import * as tokens from "./lexer.ts";
import { endOf, type Token } from "./lexer.ts";
import { fromHabit, unexpectedWord } from "./messages.ts";
import type { ChartDraft } from "./read-chart.ts";
import { type Block, EditReader } from "./read-edit.ts";
import type { ItemTarget } from "./read-property.ts";
import type { Draft } from "./reader.ts";
import { nearestNames } from "./suggest.ts";
import type {
  ContactItem,
  FindingsEntry,
  Item,
  PartStatement,
  SpeedSwitchItem,
  Statement,
  SyntaxError as TextError,
  TypeStatement,
} from "./tree.ts";
import { findingsWords, itemsOf, kindNamed, kinds, proposalWords, statements } from "./vocabulary.ts";

const startWords = [...statements.map((entry) => entry.word), ...kinds.map((entry) => entry.word)];

export class CamleafParser extends EditReader {
  private entries: FindingsEntry[] = [];
  private chartDraft: ChartDraft | undefined;
  private speedContacts: ContactItem[] = [];

  constructor() {
    super();
    this.performSelfAnalysis();
  }

  /** Reads separated tokens of `source`; `recovered`: tokens were skipped to go on. */
  read(source: string, input: Token[]): { statements: Statement[]; errors: TextError[]; recovered: boolean } {
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
    return { statements: this.statements, errors: this.problems, recovered: this.errors.length > 0 };
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

  /** A line that no statement word begins. */
  private readonly stray = this.RULE("stray", () => {
    this.OR([{ ALT: () => this.CONSUME(tokens.Stray) }, { ALT: () => this.CONSUME(tokens.LBrace) }]);
    this.ACTION(() => {
      const first = this.LA(0) as Token;
      const second = this.word();
      const next = this.peek();
      const count = this.problems.length;
      this.readRest("here");
      this.problems.length = count;
      const what = (written: string) => `No statement begins with \`${written}\`.`;
      if (isRemark(first.image, next.image)) {
        const to = first.startOffset + 2;
        const written = this.source.slice(first.startOffset, to);
        this.problems.push(fromHabit(first.startOffset, to, "unknown-statement", what(written), remarkHabit));
        return;
      }
      const habit = statementHabit(first.image, second);
      if (habit) {
        const to = habit.pair ? endOf(next) : endOf(first);
        const written = this.source.slice(first.startOffset, to);
        this.problems.push(fromHabit(first.startOffset, to, "unknown-statement", what(written), habit));
        return;
      }
      const near = nearestNames(first.image, startWords);
      if (kindNamed(second)) near.unshift(`${second} ${first.image}`);
      this.problems.push({
        from: first.startOffset,
        to: endOf(first),
        id: "unknown-statement",
        what: what(first.image),
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
}
