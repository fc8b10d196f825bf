/** Text to tree. Total: any text gives a tree, with a list of what is wrong in it. */

import { Beside } from "../server/base/beside.ts";
import { LazyFields } from "../server/base/lazy-fields.ts";
import { endOf, type Token, tokenize } from "./lexer.ts";
import { CamleafParser } from "./parser.ts";
import { separate } from "./separate.ts";
import { tokenInfos } from "./token-infos.ts";
import type { Comment, SyntaxError as TextError, Tree } from "./tree.ts";

/** One parser for the process: several slow each other down. */
const parser = new CamleafParser();

/** Trees of which no part leans on another: every brace closed, nothing skipped by the parser to find its way again. */
const alone = new Beside<Tree, true>();

/** Says so of a tree that was put together from such ones. */
export function noteReadsAlone(tree: Tree): void {
  alone.set(tree, true);
}

/** True when statements of this tree would be read alike beside any others. */
export function readsAlone(tree: Tree): boolean {
  return alone.has(tree);
}

const withTokens = new LazyFields<Pick<Tree, "tokens">>("tokens");

/** Reads a whole file. Never throws. */
export function parse(text: string): Tree {
  const { tokens, comments, unknown } = tokenize(text);
  const separated = separate(text, tokens as Token[]);
  const read = parser.read(text, separated.tokens);
  const errors: TextError[] = [
    ...separated.errors,
    ...read.errors,
    ...unknown.map((place) => unknownCharacter(text, place)),
  ];
  errors.sort((a, b) => a.from - b.from || a.to - b.to);
  const written = {
    from: 0,
    to: text.length,
    text,
    statements: read.statements,
    comments: comments.map(
      (token): Comment => ({ from: token.startOffset, to: endOf(token), text: token.image.slice(1) }),
    ),
    errors,
  };
  const tree = withTokens.add(written, () => tokenInfos(tokens as Token[]));
  if (separated.balanced && !read.recovered) alone.set(tree, true);
  return tree;
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
