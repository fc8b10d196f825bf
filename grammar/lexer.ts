/**
 * Tokens. One pattern reads every word; the pass in `separate.ts` and the item rules of the parser give a word its meaning by
 * its place, so that any word may be a name where a name is wanted. Numbers never merge with a word across a space.
 */
import { createToken, type IToken, Lexer, type TokenType } from "chevrotain";

/** A token; `line` is 0 for the first line. `meant` is the word that a misspelt one is taken for. */
export interface Token extends IToken {
  line?: number;
  meant?: string;
}

const letter = "A-Za-z_°µμΩΩ²\\u00c0-\\u024f";
const wordTail = `(?:-?[${letter}0-9])*`;

/** Every token that may begin a statement which no statement word begins. */
export const Stray = createToken({ name: "Stray", pattern: Lexer.NA });

const token = (name: string, pattern: RegExp | string) => createToken({ name, pattern, categories: [Stray] });

export const Word = token("Word", new RegExp(`[${letter}]${wordTail}`));
export const DecUnit = token("DecUnit", new RegExp(`\\d+\\.\\d+[${letter}]${wordTail}`));
export const Dec = token("Dec", /\d+\.\d+/);
export const NumName = token("NumName", new RegExp(`\\d+-?[${letter}]${wordTail}`));
export const Int = token("Int", /\d+/);
/** A label ends at its line even when the closing quote is missing. */
export const Label = token("Label", /"(?:[^"\\\n\r]|\\[^\n\r])*"?/);
export const LBrace = createToken({ name: "LBrace", pattern: "{" });
export const RBrace = createToken({ name: "RBrace", pattern: "}" });
export const LParen = token("LParen", "(");
export const RParen = token("RParen", ")");
export const LSquare = token("LSquare", "[");
export const RSquare = token("RSquare", "]");
export const Comma = token("Comma", ",");
export const Semicolon = token("Semicolon", ";");
export const DotDot = token("DotDot", /\.\.\.?|…/);
export const Dot = token("Dot", ".");
export const Slash = token("Slash", "/");
export const PlusMinus = token("PlusMinus", /±|\+-|\+\/-/);
export const Minus = token("Minus", /-|−/);
export const Plus = token("Plus", "+");
export const Tilde = token("Tilde", "~");
export const Percent = token("Percent", "%");
export const Inductive = token("Inductive", /<<|>>|«|»/);
export const Other = token("Other", /[:=<>*!?&|@$^`'\\]/);
const Space = createToken({
  name: "Space",
  pattern: /[ \t\r\n\f\v\u00a0\ufeff]+/,
  group: Lexer.SKIPPED,
  line_breaks: true,
});
const CommentToken = createToken({ name: "Comment", pattern: /#[^\n\r]*/, group: "comments" });

/** Ends a statement, an item or a chart row; put in by the separation pass. */
export const End = createToken({ name: "End", pattern: Lexer.NA });

const starter = (name: string) => createToken({ name, pattern: Lexer.NA });
export const StartMachine = starter("StartMachine");
export const StartSupply = starter("StartSupply");
export const StartUse = starter("StartUse");
export const StartType = starter("StartType");
export const StartWire = starter("StartWire");
export const StartExpect = starter("StartExpect");
export const StartNote = starter("StartNote");
export const StartProposal = starter("StartProposal");
export const StartFindings = starter("StartFindings");
export const StartKind = starter("StartKind");
/** A line of a proposal or of findings. */
export const StartEdit = starter("StartEdit");
export const StartEntry = starter("StartEntry");

/** Items: a word takes one of these when it stands where an item may start. */
export const ItemChart = starter("ItemChart");
export const ItemSpeedSwitch = starter("ItemSpeedSwitch");
export const ItemOther = starter("ItemOther");

export const lexerTokens: TokenType[] = [
  Space,
  Word,
  DecUnit,
  Dec,
  NumName,
  Int,
  CommentToken,
  Label,
  LBrace,
  RBrace,
  LParen,
  RParen,
  LSquare,
  RSquare,
  Comma,
  Semicolon,
  DotDot,
  Dot,
  Slash,
  PlusMinus,
  Minus,
  Plus,
  Tilde,
  Percent,
  Inductive,
  Other,
];

export const parserTokens: TokenType[] = [
  ...lexerTokens,
  Stray,
  End,
  StartMachine,
  StartSupply,
  StartUse,
  StartType,
  StartWire,
  StartExpect,
  StartNote,
  StartProposal,
  StartFindings,
  StartKind,
  StartEdit,
  StartEntry,
  ItemChart,
  ItemSpeedSwitch,
  ItemOther,
];

const lexer = new Lexer(lexerTokens, { positionTracking: "onlyOffset", ensureOptimizations: true });

export interface Tokens {
  readonly tokens: Token[];
  readonly comments: readonly IToken[];
  /** Stretches of characters that belong to no token. */
  readonly unknown: readonly { readonly from: number; readonly to: number }[];
}

/** Splits any text into tokens; characters that fit nowhere are listed, never thrown at. */
export function tokenize(text: string): Tokens {
  const result = lexer.tokenize(text);
  return {
    tokens: result.tokens,
    comments: result.groups.comments ?? [],
    unknown: result.errors.map((error) => ({ from: error.offset, to: error.offset + error.length })),
  };
}

export function endOf(token: IToken): number {
  return token.startOffset + token.image.length;
}
