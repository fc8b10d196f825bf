/**
 * The separation pass, between lexer and parser. A statement word that is first on its line (or behind a brace) and may stand
 * in the open block starts a statement; everywhere else it may be a name. The pass puts an End behind every statement, item and
 * chart row, supplies braces that were not typed, and drops those that close nothing, so that half-typed text costs its own
 * statement only.
 */
import type { IToken, TokenType } from "chevrotain";
import { colourCode } from "./colours.ts";
import { isRemark, statementHabit } from "./habits.ts";
import * as tokens from "./lexer.ts";
import { endOf, type Token } from "./lexer.ts";
import { misspelt, motorOfTimer } from "./messages.ts";
import { editDistance } from "./suggest.ts";
import type { SyntaxError as TextError } from "./tree.ts";
import { findingsWords, isWordOfLanguage, items, kinds, properties, proposalWords } from "./vocabulary.ts";

type Context = "top" | "part" | "chart" | "speed" | "proposal" | "findings";

interface Frame {
  readonly context: Context;
  /** Column of the line that opened it, and the word that stands there, for messages. */
  readonly column: number;
  readonly opener: string;
  readonly brace?: IToken;
}

/** Words that start a statement of the file. */
export const topStarters: ReadonlyMap<string, TokenType> = new Map<string, TokenType>([
  ["machine", tokens.StartMachine],
  ["supply", tokens.StartSupply],
  ["use", tokens.StartUse],
  ["type", tokens.StartType],
  ["wire", tokens.StartWire],
  ["bond", tokens.StartWire],
  ["strap", tokens.StartWire],
  ["jumper", tokens.StartWire],
  ["expect", tokens.StartExpect],
  ["note", tokens.StartNote],
  ["proposal", tokens.StartProposal],
  ["findings", tokens.StartFindings],
  ...kinds.map((kind) => [kind.word, tokens.StartKind] as const),
]);

const partStarters = new Map<string, TokenType | undefined>();
for (const item of items) partStarters.set(item.word.split(" ")[0]!, undefined);
for (const property of properties) {
  if (property.scopes.some((scope) => scope !== "supply")) partStarters.set(property.word.split(" ")[0]!, undefined);
}

const proposalStarters = new Map<string, TokenType>(proposalWords.map((entry) => [entry.word, tokens.StartEdit]));
for (const word of ["wire", "bond", "strap", "jumper"]) proposalStarters.set(word, tokens.StartEdit);
for (const kind of kinds) proposalStarters.set(kind.word, tokens.StartEdit);

const startersOf: Readonly<Record<Context, ReadonlyMap<string, TokenType | undefined>>> = {
  top: topStarters,
  part: partStarters,
  chart: new Map(),
  speed: new Map([["contact", undefined]]),
  proposal: proposalStarters,
  findings: new Map(findingsWords.map((entry) => [entry.word, tokens.StartEntry])),
};

/** What a line may end with that the next one goes on from. */
const joins = new Set(["to", ",", "or", "and", "in", "when", "after", "while", "by"]);

/** Cells, those of other charts (`O`, `.`, `|`) among them. */
const cellsOnly = /^[\sXxOo.|0-9~-]*$/;

export interface Separated {
  readonly tokens: Token[];
  readonly errors: TextError[];
  /** No brace is missing and none is too many. */
  readonly balanced: boolean;
}

/** One pass over the tokens of `text`; the result always ends with an End token. */
export function separate(text: string, input: Token[]): Separated {
  return new Separation(text, input).run();
}

class Separation {
  private readonly out: Token[] = [];
  private readonly errors: TextError[] = [];
  private readonly frames: Frame[] = [{ context: "top", column: -1, opener: "" }];
  /** Nothing since the last End. */
  private empty = true;
  private segmentColumn = 0;
  private segmentWord = "";
  private blockWord = "";
  /** Braces supplied in the middle of the text, whose own may still follow. */
  private supplied = 0;
  /** More braces open than close: columns tell where a block was left open. */
  private unbalanced = false;
  /** Not as many braces open as close. */
  private open = false;
  /** Braces that close without being opened, not yet supplied. */
  private missingOpen = 0;
  private previousEnd = 0;
  private readonly text: string;
  private readonly input: Token[];

  constructor(text: string, input: Token[]) {
    this.text = text;
    this.input = input;
    let open = 0;
    for (const token of input) {
      if (token.tokenType === tokens.LBrace) open++;
      else if (token.tokenType === tokens.RBrace) open--;
    }
    this.unbalanced = open > 0;
    this.open = open !== 0;
    this.missingOpen = Math.max(0, -open);
  }

  run(): Separated {
    const { text, input } = this;
    let line = 0;
    let lineStart = 0;
    let newline = text.indexOf("\n");
    let eligible = true;
    for (let index = 0; index < input.length; index++) {
      const token = input[index]!;
      let first = index === 0;
      while (newline >= 0 && newline < token.startOffset) {
        line++;
        lineStart = newline + 1;
        newline = text.indexOf("\n", lineStart);
        first = true;
      }
      token.line = line;
      const type = token.tokenType;
      if (type === tokens.RBrace) {
        this.closeBrace(token);
        eligible = true;
      } else if (type === tokens.LBrace) {
        this.openBrace(token, index);
        eligible = true;
      } else {
        if (first || eligible) this.lineStarts(token, index, token.startOffset - lineStart, first);
        eligible = false;
        if (this.empty) {
          this.empty = false;
          this.segmentColumn = token.startOffset - lineStart;
          this.segmentWord = token.meant ?? token.image;
          this.blockWord = "";
        }
        if (token.image === "chart" || token.image === "speed-switch") this.blockWord = token.image;
        this.out.push(token);
      }
      this.previousEnd = endOf(token);
    }
    while (this.frames.length > 1) this.closeFrame(true);
    this.end();
    if (this.out.length === 0) this.out.push(this.virtual(tokens.End));
    const braces = this.errors.some(({ id }) => id === "missing-brace" || id === "extra-brace");
    return { tokens: this.out, errors: this.errors, balanced: !this.open && !braces };
  }

  private get frame(): Frame {
    return this.frames[this.frames.length - 1]!;
  }

  private virtual(type: TokenType): Token {
    return {
      image: "",
      startOffset: this.previousEnd,
      tokenType: type,
      tokenTypeIdx: type.tokenTypeIdx!,
      line: -1,
    } as Token;
  }

  private end(): void {
    if (this.empty) return;
    this.out.push(this.virtual(tokens.End));
    this.empty = true;
  }

  private openBrace(token: Token, index: number): void {
    const { context } = this.frame;
    let inner: Context = "part";
    if (this.blockWord === "chart") inner = "chart";
    else if (this.blockWord === "speed-switch") inner = "speed";
    else if (context === "top" && this.segmentWord === "proposal") inner = "proposal";
    else if (context === "top" && this.segmentWord === "findings") inner = "findings";
    this.empty = true;
    this.out.push(token);
    const opener = this.blockWord || this.openerText(index);
    this.frames.push({ context: inner, column: this.segmentColumn, opener, brace: token });
    this.blockWord = "";
  }

  /** The first two words of the segment that opens a block: `timer TM`. */
  private openerText(index: number): string {
    let at = index;
    while (
      at > 0 &&
      this.input[at - 1]!.line === this.input[index]!.line &&
      this.input[at - 1]!.tokenType !== tokens.LBrace
    )
      at--;
    return this.input
      .slice(at, Math.min(at + 2, index))
      .map((token) => token.image)
      .join(" ");
  }

  private closeBrace(token: Token): void {
    if (this.frames.length > 1) {
      this.end();
      this.frames.pop();
      this.out.push(token);
      this.out.push(this.virtual(tokens.End));
      this.out[this.out.length - 1]!.startOffset = endOf(token);
      this.empty = true;
      return;
    }
    if (this.supplied > 0) {
      this.supplied--;
      this.end();
      return;
    }
    this.end();
    this.errors.push({
      from: token.startOffset,
      to: endOf(token),
      id: "extra-brace",
      what: "This } closes nothing.",
      advice: "Remove it, or put the { behind the line that starts the block.",
    });
  }

  private closeFrame(atEnd: boolean): void {
    const { brace, opener } = this.frame;
    this.end();
    this.frames.pop();
    this.out.push(this.virtual(tokens.RBrace), this.virtual(tokens.End));
    this.empty = true;
    if (!atEnd) this.supplied++;
    if (brace) {
      this.errors.push({
        from: brace.startOffset,
        to: endOf(brace),
        id: "missing-brace",
        what: opener ? `The block of \`${opener}\` is not closed.` : "This block is not closed.",
        advice: atEnd ? "Put a } at its end." : "Put a } before the next statement.",
      });
    }
  }

  /** Decides at the first token of a line (or behind a brace) whether something new starts here. */
  private lineStarts(token: Token, index: number, column: number, first: boolean): void {
    const word = token.tokenType === tokens.Word ? token.image : "";
    if (first && word !== "" && this.missingOpen > 0 && !this.empty && column > this.segmentColumn)
      this.openLeftOut(word, index);
    if (first && word !== "" && this.frames.length > 1) this.closeLeftOpen(word, index, column);
    const { context } = this.frame;
    if (context === "chart") {
      if (first) this.end();
      return;
    }
    if (first && this.isMotorOfTimer(word, column)) {
      this.end();
      token.meant = "drive";
      this.errors.push(motorOfTimer(token.startOffset, endOf(token)));
      return;
    }
    const starters = startersOf[context];
    if (starters.has(word)) {
      this.end();
      this.retype(token, starters.get(word));
      return;
    }
    const foreign = first && this.startsForeign(token, index, column);
    if (word === "" || isWordOfLanguage(word)) {
      if (foreign) this.end();
      return;
    }
    // A misspelt statement word: a line of its own, at the depth of the statements around it.
    if (!this.empty && (!first || column > this.segmentColumn)) return;
    const next = this.nextOnLine(index);
    const follows =
      next?.tokenType === tokens.Word || next?.tokenType === tokens.Label || next?.tokenType === tokens.Int;
    const habit = context === "top" && next !== undefined && statementHabit(word, next.image) !== undefined;
    const meant = follows && !habit && next?.image !== "to" ? this.nearest(word, starters.keys()) : undefined;
    if (meant) {
      this.end();
      token.meant = meant;
      this.errors.push(misspelt(token.startOffset, endOf(token), word, [meant]));
      this.retype(token, starters.get(meant));
    } else if (foreign || (context !== "top" && next?.image !== "to")) this.end();
  }

  /** A remark of another notation, or a statement under a word that the language does not have, at the depth of the statements around it. */
  private startsForeign(token: Token, index: number, column: number): boolean {
    const next = this.nextOnLine(index);
    if (!next || this.empty) return false;
    if (isRemark(token.image, next.image) && next.startOffset === endOf(token)) return true;
    if (this.frame.context !== "top" || column > this.segmentColumn || token.tokenType !== tokens.Word) return false;
    const names =
      next.tokenType === tokens.Word || next.tokenType === tokens.Label || next.tokenType === tokens.NumName;
    if (!names || next.image === "to" || this.nextOnLine(index + 1)?.image === "to") return false;
    if (joins.has(this.out[this.out.length - 1]!.image) || colourCode(token.image)) return false;
    return !isWordOfLanguage(token.image) || statementHabit(token.image, next.image) !== undefined;
  }

  private nearest(word: string, candidates: Iterable<string>): string | undefined {
    const allowed = word.length > 5 ? 2 : 1;
    if (word.length < 4) return undefined;
    let best: string | undefined;
    let bestDistance = allowed + 1;
    const lower = word.toLowerCase();
    for (const candidate of candidates) {
      if (candidate.length < 4) continue;
      const distance = editDistance(lower, candidate, allowed);
      if (distance < bestDistance) [best, bestDistance] = [candidate, distance];
    }
    return best;
  }

  private retype(token: Token, type: TokenType | undefined): void {
    if (!type) return;
    token.tokenType = type;
    token.tokenTypeIdx = type.tokenTypeIdx!;
  }

  /** Supplies the { that was left out when a line begins with a word of the block that the line before would open. */
  private openLeftOut(word: string, index: number): void {
    const { context } = this.frame;
    let inner: Context | undefined;
    if (this.blockWord === "chart" && word === "steps") inner = "chart";
    else if (this.blockWord === "speed-switch" && word === "contact") inner = "speed";
    else if (context === "top") {
      if (this.segmentWord === "proposal") inner = "proposal";
      else if (this.segmentWord === "findings") inner = "findings";
      else if (topStarters.get(this.segmentWord) === tokens.StartKind || this.segmentWord === "type") inner = "part";
    }
    if (!inner || (inner !== "chart" && !startersOf[inner].has(word))) return;
    this.missingOpen--;
    const opener = this.blockWord || this.segmentWord;
    const before = this.input[index - 1]!;
    this.errors.push({
      from: before.startOffset,
      to: endOf(before),
      id: "missing-brace",
      what: `The block of \`${opener}\` has no {.`,
      advice: "Put a { at the end of this line.",
      suggestions: [`${before.image} {`],
    });
    this.out.push(this.virtual(tokens.LBrace));
    this.frames.push({ context: inner, column: this.segmentColumn, opener });
    this.empty = true;
    this.blockWord = "";
  }

  /** Supplies the braces that must be missing when `word` starts a line here. */
  private closeLeftOpen(word: string, index: number, column: number): void {
    if (this.isMotorOfTimer(word, column)) return;
    if (this.unbalanced && topStarters.has(word)) {
      while (this.frames.length > 1 && column <= this.frame.column) this.closeFrame(false);
    }
    for (let depth = this.frames.length - 1; depth >= 0; depth--) {
      const { context } = this.frames[depth]!;
      if (context === "chart") {
        if (!topStarters.has(word) && !partStarters.has(word)) return;
        // A row may be called by any word; where no brace is missing none is made up.
        if (!this.unbalanced && !topStarters.has(word)) return;
        if (word === "steps" || cellsOnly.test(this.restOfLine(index))) return;
        continue;
      }
      if (!startersOf[context].has(word)) continue;
      // `frame CAB` in a part's block is a part of its own, `frame` and `frame on CAB` belong to the part.
      if (context === "part" && word === "frame" && this.namesAFrame(index)) continue;
      while (this.frames.length - 1 > depth) this.closeFrame(false);
      return;
    }
  }

  /** `motor` as a line of a timer's block: a motor of its own would stand no deeper than the timer. */
  private isMotorOfTimer(word: string, column: number): boolean {
    const { context, column: outer, opener } = this.frame;
    return word === "motor" && context === "part" && column > outer && opener.startsWith("timer ");
  }

  private namesAFrame(index: number): boolean {
    const next = this.nextOnLine(index);
    return next?.tokenType === tokens.Word && next.image !== "on";
  }

  /** The token behind this one when it stands on the same line: what a line is hangs on nothing below it. */
  private nextOnLine(index: number): Token | undefined {
    const next = this.input[index + 1];
    const between = next && this.text.slice(endOf(this.input[index]!), next.startOffset);
    return between?.includes("\n") ? undefined : next;
  }

  private restOfLine(index: number): string {
    const from = endOf(this.input[index]!);
    let to = this.text.length;
    for (const stop of ["\n", "#"]) {
      const at = this.text.indexOf(stop, from);
      if (at >= 0 && at < to) to = at;
    }
    return this.text.slice(from, to);
  }
}
