import { endOf, type Token, tokenize } from "./lexer.ts";
import type { TokenInfo } from "./tree.ts";

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

/** Words that start something are words still. */
function tokenInfo(token: Token): TokenInfo {
  const { name } = token.tokenType;
  const word = name.startsWith("Start") || name.startsWith("Item");
  return { from: token.startOffset, to: endOf(token), type: word ? "word" : (infoTypes[name] ?? "mark") };
}

/** Tokens as readers of a tree see them: of a text, or made before. */
export function tokenInfos(of: string | readonly Token[]): readonly TokenInfo[] {
  return (typeof of === "string" ? (tokenize(of).tokens as Token[]) : of).map(tokenInfo);
}

/** The tokens of the lines that hold the stretch. No token goes over a line's end, so the rest of the text need not be read. */
export function tokensOfLines(text: string, from: number, to: number): readonly TokenInfo[] {
  const start = text.lastIndexOf("\n", from - 1) + 1;
  const feed = text.indexOf("\n", to);
  const { tokens } = tokenize(text.slice(start, feed < 0 ? text.length : feed));
  return tokens.map((token) => {
    const { from: at, to: end, type } = tokenInfo(token);
    return { from: at + start, to: end + start, type };
  });
}
