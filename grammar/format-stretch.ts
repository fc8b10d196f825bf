/**
 * Stretches of a text that can be laid out one by one: whole statements, up to a blank line, a comment or the end of a
 * block. What a stretch looks like
 * hangs on nothing around it, for the reason given in `reparse.ts`, so only those that somebody changed are laid out again.
 */
import { type Token, tokenize } from "./lexer.ts";
import { readsAlone } from "./parse.ts";
import { lineStart, startsAlone } from "./reparse.ts";
import { type Separated, separate } from "./separate.ts";
import type { Statement, SyntaxError as TextError, Tree } from "./tree.ts";

/** Whole statements of a text. The nodes have the places of the text. */
export interface Stretch {
  readonly text: string;
  /** Where it begins in the text. */
  readonly from: number;
  readonly statements: readonly Statement[];
  /** The first mistake in it. */
  readonly mistake: TextError | undefined;
  /** Nothing stands behind it. */
  readonly last: boolean;
}

/** A stretch by its tokens, at the stretch's own places. */
export interface Read {
  readonly stretch: Stretch;
  readonly tokens: Token[];
  readonly comments: readonly Token[];
  readonly separated: Separated;
}

export function readStretch(stretch: Stretch): Read {
  const { tokens, comments } = tokenize(stretch.text);
  return { stretch, tokens, comments: comments as Token[], separated: separate(stretch.text, tokens) };
}

/** All of a text as one stretch. */
export function wholeStretch({ text, statements, errors }: Tree): Stretch {
  return { text, from: 0, statements, mistake: errors[0], last: true };
}

/** The stretches up to the first mistake, in text order. */
export function stretchesOf(tree: Tree): Stretch[] {
  const { text, statements, errors } = tree;
  if (!readsAlone(tree)) return [wholeStretch(tree)];
  const mistake = errors[0];
  const stretches: Stretch[] = [];
  let first = 0;
  let from = 0;
  for (let index = 1; index <= statements.length; index++) {
    const next = statements[index];
    if (next && !(startsAlone(tree, next) && isApart(text, lineStart(text, next.from)))) continue;
    const last = next === undefined;
    const to = last ? text.length : lineStart(text, next.from);
    const wrong = mistake && mistake.from < to ? mistake : undefined;
    stretches.push({
      text: text.slice(from, to),
      from,
      statements: statements.slice(first, index),
      mistake: wrong,
      last,
    });
    if (wrong) break;
    first = index;
    from = to;
  }
  return stretches.length > 0 ? stretches : [wholeStretch(tree)];
}

/** The line above is blank, a comment or a closing brace, so that no column runs through both. */
function isApart(text: string, line: number): boolean {
  if (text[line] === "\ufeff") return false; // at the beginning of a text it would mean something else
  const above = text.slice(lineStart(text, line - 1), line).trim();
  return above === "" || above === "}" || above.startsWith("#");
}
