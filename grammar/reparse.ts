/**
 * The tree of a text that differs from an earlier one in a single stretch, as every keystroke makes it: only the statements that the
 * stretch touches are read again, those behind it are moved.
 *
 * Equal to reading the whole text, because a statement word that is first on its line starts a statement whatever stands around it, as
 * long as every brace is closed. Where that cannot be relied upon, the whole text is read.
 */

import { Beside } from "../server/base/beside.ts";
import { LazyFields } from "../server/base/lazy-fields.ts";
import { moveNodes } from "./move-nodes.ts";
import { noteReadsAlone, parse, readsAlone } from "./parse.ts";
import { topStarters } from "./separate.ts";
import { listOf, noteList } from "./statement-list.ts";
import { tokenInfos } from "./token-infos.ts";
import type { Comment, SyntaxError as TextError, Tree } from "./tree.ts";

/** What became of an earlier tree in a later one. */
export interface Carried {
  readonly before: Tree;
  /** Read again: this stretch of the later text. */
  readonly from: number;
  readonly to: number;
  /** By so many characters all that stands behind it moved. */
  readonly by: number;
  /** How many statements of the earlier tree were kept in front, and where they go on behind. */
  readonly front: number;
  readonly back: { readonly before: number; readonly after: number };
}

const carried = new Beside<Tree, Carried>();

/** How this tree came from the one before; undefined when its whole text was read. Of the last tree of a text only. */
export function carriedOver(tree: Tree): Carried | undefined {
  return carried.get(tree);
}

/** As `parse`, with the tree of an earlier text to draw on. */
export function reparse(text: string, before: Tree | undefined): Tree {
  if (!before) return parse(text);
  if (before.text === text) return before;
  const tree = changedTree(text, before) ?? parse(text);
  // Each remembers the one before it alone, else no text would ever be forgotten.
  carried.delete(before);
  return tree;
}

const withStatements = new LazyFields<Pick<Tree, "statements" | "tokens">>("statements", "tokens");

function changedTree(text: string, before: Tree): Tree | undefined {
  if (!readsAlone(before)) return undefined;
  const old = before.text;
  const list = listOf(before);
  const by = text.length - old.length;
  const same = commonStart(old, text);
  const oldEnd = old.length - commonEnd(old, text, same);
  const first = lastStartBefore(before, same);
  const next = firstStartBehind(before, oldEnd);
  const from = first < 0 ? 0 : lineStart(old, list.from(first));
  const oldTo = next < list.length ? lineStart(old, list.from(next)) : old.length;
  // Most of the text: not worth the bookkeeping.
  if (oldTo - from > (old.length * 3) / 4) return undefined;
  const slice = parse(text.slice(from, oldTo + by));
  if (!readsAlone(slice)) return undefined;

  const front = Math.max(first, 0);
  const statements = list.replaced(front, slice.statements, from, next, by);
  const parts = <T extends { readonly from: number }>(all: readonly T[], again: readonly T[]): T[] => [
    ...all.filter((each) => each.from < from),
    ...moveNodes(again, from),
    ...moveNodes(
      all.filter((each) => each.from >= oldTo),
      by,
    ),
  ];
  const comments = parts<Comment>(before.comments, slice.comments);
  const errors = parts<TextError>(before.errors, slice.errors);
  const standing = { from: 0, to: text.length, text, comments, errors };
  const tree: Tree = withStatements.add(
    standing,
    (name) => (name === "statements" ? statements.all() : tokenInfos(text)) as Tree[typeof name],
  );
  noteReadsAlone(tree);
  noteList(tree, statements);
  carried.set(tree, {
    before,
    from,
    to: oldTo + by,
    by,
    front,
    back: { before: next, after: front + slice.statements.length },
  });
  return tree;
}

/** Characters compared at once, which is much faster than one by one. */
const stretch = 512;

function commonStart(a: string, b: string): number {
  const most = Math.min(a.length, b.length);
  let same = 0;
  while (same + stretch <= most && a.slice(same, same + stretch) === b.slice(same, same + stretch)) same += stretch;
  while (same < most && a.charCodeAt(same) === b.charCodeAt(same)) same++;
  return same;
}

/** Not reaching into the first `taken` characters of either. */
function commonEnd(a: string, b: string, taken: number): number {
  const most = Math.min(a.length, b.length) - taken;
  const alike = (same: number): boolean =>
    a.slice(a.length - same - stretch, a.length - same) === b.slice(b.length - same - stretch, b.length - same);
  let same = 0;
  while (same + stretch <= most && alike(same)) same += stretch;
  while (same < most && a.charCodeAt(a.length - 1 - same) === b.charCodeAt(b.length - 1 - same)) same++;
  return same;
}

/** Where the line of an offset begins. */
export function lineStart(text: string, offset: number): number {
  return text.lastIndexOf("\n", offset - 1) + 1;
}

const word = /[^\s"#{}]*/y;

/** A statement word, first on its line: what stands in front decides nothing about it. */
export function startsAlone({ text }: Tree, { from }: { readonly from: number }): boolean {
  if (text.slice(lineStart(text, from), from).trim() !== "") return false;
  word.lastIndex = from;
  return topStarters.has(word.exec(text)![0]);
}

/** The last statement whose first word ends before `offset`, so that a change there cannot touch that word; -1: none. */
function lastStartBefore(tree: Tree, offset: number): number {
  const { text } = tree;
  const list = listOf(tree);
  for (let index = list.before(offset) - 1; index >= 0; index--) {
    const from = list.from(index);
    word.lastIndex = from;
    if (from + word.exec(text)![0].length < offset && startsAlone(tree, { from })) return index;
  }
  return -1;
}

/** The first statement whose line begins behind `offset`, its line end with it. */
function firstStartBehind(tree: Tree, offset: number): number {
  const { text } = tree;
  const list = listOf(tree);
  for (let index = Math.max(0, list.before(offset) - 1); index < list.length; index++) {
    const from = list.from(index);
    if (lineStart(text, from) > offset && startsAlone(tree, { from })) return index;
  }
  return list.length;
}
