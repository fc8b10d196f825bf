/** Text to tree. Total: any text gives a tree, with a list of what is wrong in it. */
import { endOf, type Token, tokenize } from "./lexer.ts";
import { CamleafParser } from "./parser.ts";
import { separate } from "./separate.ts";
import type { Comment, SyntaxError as TextError, TokenInfo, Tree } from "./tree.ts";

/** One parser for the process: several slow each other down. */
const parser = new CamleafParser();

const infoTypes: Readonly<Record<string, TokenInfo["type"]>> = {
  Word: "word",
  Int: "number",
  Dec: "number",
  NumName: "word",
  DecUnit: "quantity",
  Label: "label",
  LBrace: "brace",
  RBrace: "brace",
  Other: "unknown",
};

/** Reads a whole file. Never throws. */
export function parse(text: string): Tree {
  const { tokens, comments, unknown } = tokenize(text);
  let infos: TokenInfo[] | undefined;
  const separated = separate(text, tokens as Token[]);
  const read = parser.read(text, separated.tokens);
  const errors: TextError[] = [
    ...separated.errors,
    ...read.errors,
    ...unknown.map((place) => unknownCharacter(text, place)),
  ];
  errors.sort((a, b) => a.from - b.from || a.to - b.to);
  return {
    from: 0,
    to: text.length,
    text,
    statements: read.statements,
    comments: comments.map(
      (token): Comment => ({ from: token.startOffset, to: endOf(token), text: token.image.slice(1) }),
    ),
    errors,
    get tokens() {
      infos ??= tokens.map(tokenInfo);
      return infos;
    },
  };
}

/** Made only when asked for: few readers of a tree want its tokens. Words that start something are words still. */
function tokenInfo(token: Token): TokenInfo {
  const { name } = token.tokenType;
  const word = name.startsWith("Start") || name.startsWith("Item");
  return { from: token.startOffset, to: endOf(token), type: word ? "word" : (infoTypes[name] ?? "mark") };
}

function unknownCharacter(text: string, place: { from: number; to: number }): TextError {
  const written = text.slice(place.from, place.to);
  const curly = /[“”„‘’]/.test(written);
  return {
    ...place,
    id: "unknown-character",
    what: `\`${written}\` cannot be read.`,
    advice: curly ? 'Use straight quotes: "...".' : "Remove it, or put it in quotes when it is a stamp on the part.",
    ...(curly ? { suggestions: ['"'] } : {}),
  };
}
