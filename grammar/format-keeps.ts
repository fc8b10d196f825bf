/**
 * Whether a text says the same with other white space. What it says follows from its tokens, from what the separation pass makes
 * of them, from which of them touch and which share a line; the parser looks at nothing else but a chart's cells. So no text is read twice
 * unless some of that changed.
 */
import type { TextEdit } from "./format.ts";
import type { Read } from "./format-stretch.ts";
import { endOf, lexerTokens, type Token, Word } from "./lexer.ts";
import { parse } from "./parse.ts";
import { sameMeaning } from "./same-meaning.ts";
import { type Separated, separate } from "./separate.ts";

const fromLexer = new Set(lexerTokens);

/**
 * @param edits in text order, none over another, at the stretch's own places
 * @param after the text with the edits
 */
export function keepsMeaning(read: Read, edits: readonly TextEdit[], after: string): boolean {
  const { text } = read.stretch;
  if (!edits.every((edit) => keepsLines(text, edit)) || !keepsComments(read.comments, edits)) return false;
  const tokens = movedTokens(read.tokens, edits);
  if (tokens && sameSeparated(read.separated, separate(after, tokens))) return true;
  return sameMeaning(parse(text), parse(after));
}

const blank = /^\s*$/;

/** White space for white space; a line goes only when all of it does, and one is added only at the end. */
function keepsLines(text: string, { from, to, text: put }: TextEdit): boolean {
  const old = text.slice(from, to);
  if (!blank.test(old) || !blank.test(put)) return false;
  if (old.includes("\n")) return put === "" && old.endsWith("\n") && (from === 0 || text[from - 1] === "\n");
  return !put.includes("\n") || from === text.length;
}

/** Of a comment, only the spaces at its end are touched. */
function keepsComments(comments: readonly Token[], edits: readonly TextEdit[]): boolean {
  let next = 0;
  for (const comment of comments) {
    while (next < edits.length && edits[next]!.to <= comment.startOffset) next++;
    for (let at = next; at < edits.length && edits[at]!.from < endOf(comment); at++)
      if (edits[at]!.from < comment.startOffset + comment.image.trimEnd().length) return false;
  }
  return true;
}

/** The tokens where the edits leave them; undefined when some are split or joined, or no longer touch, or do so now. */
function movedTokens(tokens: readonly Token[], edits: readonly TextEdit[]): Token[] | undefined {
  const moved: Token[] = [];
  let next = 0;
  let by = 0;
  let end = -1;
  let movedEnd = -1;
  for (const token of tokens) {
    const { startOffset, image } = token;
    for (; next < edits.length && edits[next]!.to <= startOffset; next++) {
      const { from, to, text } = edits[next]!;
      if (from < end) return undefined;
      by += text.length - (to - from);
    }
    if ((startOffset === end) !== (startOffset + by === movedEnd)) return undefined;
    end = endOf(token);
    movedEnd = end + by;
    // Words that start something were words of the lexer.
    const tokenType = fromLexer.has(token.tokenType) ? token.tokenType : Word;
    moved.push({ image, startOffset: startOffset + by, tokenType, tokenTypeIdx: tokenType.tokenTypeIdx! } as Token);
  }
  return next < edits.length && edits[next]!.from < end ? undefined : moved;
}

function sameSeparated(a: Separated, b: Separated): boolean {
  return (
    a.balanced === b.balanced &&
    a.tokens.length === b.tokens.length &&
    a.errors.length === b.errors.length &&
    a.errors.every(({ id }, index) => id === b.errors[index]!.id) &&
    a.tokens.every(({ tokenTypeIdx, image, meant }, index) => {
      const other = b.tokens[index]!;
      return tokenTypeIdx === other.tokenTypeIdx && image === other.image && meant === other.meant;
    })
  );
}
