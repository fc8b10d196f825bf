/**
 * What every rule of the parser stands on: looking ahead, taking tokens, making the smallest nodes, collecting errors.
 * Leaf forms (names, quantities, conditions, ratings) are read here and in the classes built on this one by looking at the next
 * tokens directly, because what they mean depends on the vocabulary table and the place, not on the token alone.
 */
import { EmbeddedActionsParser } from "chevrotain";
import * as tokens from "./lexer.ts";
import { endOf, parserTokens, type Token } from "./lexer.ts";
import { missing } from "./messages.ts";
import type { LabelNode, NameNode, PointNode, SyntaxError as TextError, TextNode } from "./tree.ts";

/** A node while it is being filled. */
export type Draft<T> = { -readonly [Key in keyof T]: T[Key] };

const endIdx = tokens.End.tokenTypeIdx!;
const wordIdx = tokens.Word.tokenTypeIdx!;
const intIdx = tokens.Int.tokenTypeIdx!;
const numNameIdx = tokens.NumName.tokenTypeIdx!;
const labelIdx = tokens.Label.tokenTypeIdx!;
const dotIdx = tokens.Dot.tokenTypeIdx!;
const openIdx = tokens.LBrace.tokenTypeIdx!;
const closeIdx = tokens.RBrace.tokenTypeIdx!;

export class Reader extends EmbeddedActionsParser {
  /** Errors of the text being read. */
  protected problems: TextError[] = [];

  constructor() {
    super(parserTokens, { recoveryEnabled: true, maxLookahead: 1, skipValidations: false });
  }

  /** In-rule repairs would eat an End or make up a name; a failed rule skips to its own end instead. */
  protected override canTokenTypeBeInsertedInRecovery(): boolean {
    return false;
  }
  protected override canTokenTypeBeDeletedInRecovery(): boolean {
    return false;
  }

  // ------------------------------------------------------------ looking

  protected peek(ahead = 1): Token {
    return this.LA(ahead) as Token;
  }

  /** The text of the word `ahead`, or "" when there is no word. */
  protected word(ahead = 1): string {
    const token = this.LA(ahead);
    return token.tokenTypeIdx === wordIdx ? token.image : "";
  }

  protected is(image: string, ahead = 1): boolean {
    const token = this.LA(ahead);
    return token.image === image && token.tokenTypeIdx !== labelIdx;
  }

  /** Nothing more in this statement, item or row (or its block begins or ends here). */
  protected atEnd(ahead = 1): boolean {
    const type = this.LA(ahead).tokenTypeIdx;
    return type === endIdx || type === openIdx || type === closeIdx || type === 1;
  }

  protected isWord(ahead = 1): boolean {
    return this.LA(ahead).tokenTypeIdx === wordIdx;
  }

  protected isLabel(ahead = 1): boolean {
    return this.LA(ahead).tokenTypeIdx === labelIdx;
  }

  /** A word, a whole number, a number with letters (`2B`) or a stamp in quotes. */
  protected isName(ahead = 1): boolean {
    const type = this.LA(ahead).tokenTypeIdx;
    return type === wordIdx || type === intIdx || type === numNameIdx || type === labelIdx;
  }

  protected isInt(ahead = 1): boolean {
    return this.LA(ahead).tokenTypeIdx === intIdx;
  }

  protected sameLine(ahead = 1): boolean {
    return this.peek(ahead).line === this.peek(ahead - 1).line;
  }

  /** End offset of the last token taken. */
  protected lastEnd(): number {
    const token = this.LA(0);
    return token.tokenTypeIdx === 1 ? 0 : endOf(token);
  }

  // ------------------------------------------------------------ taking

  protected take(): Token {
    const token = this.LA(1) as Token;
    this.SKIP_TOKEN();
    return token;
  }

  protected takeIf(image: string): boolean {
    if (!this.is(image)) return false;
    this.SKIP_TOKEN();
    return true;
  }

  protected node<T extends TextNode>(start: number, rest: Omit<T, "from" | "to">): T {
    return { from: start, to: Math.max(start, this.lastEnd()), ...rest } as T;
  }

  protected nameOf(token: Token): NameNode {
    const text = token.tokenTypeIdx === labelIdx ? labelText(token.image) : (token.meant ?? token.image);
    return { from: token.startOffset, to: endOf(token), text };
  }

  protected takeName(): NameNode {
    return this.nameOf(this.take());
  }

  protected takeLabel(): LabelNode {
    const token = this.take();
    const closed = token.image.length > 1 && /[^\\](?:\\\\)*"$/.test(token.image);
    if (!closed) {
      this.problems.push({
        from: token.startOffset,
        to: endOf(token),
        id: "open-label",
        what: "This label has no closing quote.",
        advice: 'Put a " at its end.',
        suggestions: [`${token.image.trimEnd()}"`],
      });
    }
    return { from: token.startOffset, to: endOf(token), text: labelText(token.image) };
  }

  /** `TM`, `TM.C`, `BR."-"`; undefined when no name stands here. A dot with nothing behind it is an error. */
  protected readPoint(what: string): PointNode | undefined {
    if (!this.isName()) return undefined;
    const part = this.takeName();
    const point: Draft<PointNode> = { from: part.from, to: part.to, part };
    this.tellColon(part);
    if ((this.LA(1).tokenTypeIdx === dotIdx || this.is(":")) && this.sameLine()) {
      const dot = this.take();
      point.to = endOf(dot);
      if (this.isName() && this.sameLine()) {
        point.terminal = this.takeName();
        point.to = point.terminal.to;
      } else {
        this.missing(
          `a terminal behind \`${part.text}.\``,
          `Write the terminal that ${what} is joined to, as stamped on the part.`,
        );
      }
    }
    return point;
  }

  /** `TM:C` is read as `TM.C`, and said. */
  private tellColon(part: NameNode): void {
    const colon = this.peek();
    if (!this.is(":") || colon.startOffset !== part.to) return;
    const place = { from: colon.startOffset, to: endOf(colon) };
    const what = "A terminal stands behind a dot, not a colon.";
    this.problem(
      place,
      "unexpected-word",
      what,
      `Write \`${part.text}.${this.isName(2) ? this.peek(2).image : "1"}\`.`,
      ["."],
    );
  }

  // ------------------------------------------------------------ errors

  /** Says that something is missing right behind the last token. */
  protected missing(what: string, advice: string): void {
    const last = this.LA(0);
    const from = last.tokenTypeIdx === 1 ? 0 : last.startOffset;
    this.problems.push(missing(from, this.lastEnd(), `Here ${what} is missing.`, advice));
  }

  /** A word or sign that the language says otherwise: read as what it is meant for. */
  protected tellWritten(token: Token, right: string, example = right, put = right): void {
    const place = { from: token.startOffset, to: endOf(token) };
    this.problem(place, "unexpected-word", `\`${token.image}\` is written \`${right}\`.`, `Write \`${example}\`.`, [
      put,
    ]);
  }

  protected problem(node: TextNode, id: string, what: string, advice: string, suggestions?: readonly string[]): void {
    this.problems.push({ from: node.from, to: node.to, id, what, advice, ...(suggestions ? { suggestions } : {}) });
  }
}

const escapes = /\\(.)/g;

/** The text between the quotes, escapes undone. */
export function labelText(image: string): string {
  const closed = image.length > 1 && image.endsWith('"');
  return image.slice(1, closed ? -1 : undefined).replace(escapes, "$1");
}
