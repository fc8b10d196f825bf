/**
 * The formatter's view of a text: its lines, what stands on each, and how far each is indented. Line breaks stay where the writer put
 * them; all that ever changes is white space, so no word, label or comment can get lost.
 */
import { endOf, type Token, tokenize } from "./lexer.ts";
import { separate } from "./separate.ts";
import type { Tree } from "./tree.ts";
import { walk } from "./walk.ts";

/** One word, mark or comment of a line. */
export interface Piece {
  readonly from: number;
  readonly to: number;
  /** Name of the token's type, or `Comment`. */
  readonly type: string;
  /** White space before it on its line, in columns; a tab counts up to the next fourth column. */
  readonly gap: number;
  /** Something new starts here: a statement, an item, a line of a block. */
  readonly starts: boolean;
  /** A later word of a quantity: the unit of `5400 W`. */
  readonly inQuantity: boolean;
}

export interface Line {
  readonly from: number;
  /** End without the line break. */
  readonly to: number;
  /** End with the line break. */
  readonly end: number;
  readonly pieces: readonly Piece[];
  /** Columns of indentation that the line should have. */
  readonly indent: number;
}

const step = 2;
/** A statement that goes on over the next line is indented by this much more, so that it does not look like a new one. */
const onward = 4;
const tab = 4;

/** Lines of a text, with the indentation that their braces ask for. It has no carriage return but before a line feed. */
export function linesOf(tree: Tree): Line[] {
  const { text } = tree;
  const quantityWords = laterWords(tree);
  const { tokens, comments } = tokenize(text);
  const starts = new Set<number>();
  let fresh = true;
  for (const token of separate(text, tokens as Token[]).tokens) {
    const { name } = token.tokenType;
    if (fresh && token.image !== "" && name !== "RBrace") starts.add(token.startOffset);
    fresh = name === "End" || name === "LBrace";
  }
  const all = [...tokens, ...comments].sort((a, b) => a.startOffset - b.startOffset);

  const lines: Line[] = [];
  const blocks: number[] = [];
  /** Column that a line must pass for its first word to go on with the statement before it. */
  let segment = 0;
  let next = 0;
  for (let from = 0; from < text.length; ) {
    const feed = text.indexOf("\n", from);
    const end = feed < 0 ? text.length : feed + 1;
    const to = feed < 0 ? end : text[feed - 1] === "\r" ? feed - 1 : feed;
    const head = from === 0 && text.startsWith("\ufeff") ? 1 : from;
    const pieces: Piece[] = [];
    let at = head;
    let column = 0;
    for (; next < all.length && all[next]!.startOffset < to; next++) {
      const token = all[next]!;
      const before = column;
      for (; at < token.startOffset; at++) column += text[at] === "\t" ? tab - (column % tab) : 1;
      pieces.push({
        from: at,
        to: endOf(token),
        type: token.tokenType.name,
        gap: column - before,
        starts: starts.has(at),
        inQuantity: quantityWords.has(at),
      });
      // Spaces behind a comment are none of its words.
      if (token.tokenType.name === "Comment") pieces.push({ ...pieces.pop()!, to: at + token.image.trimEnd().length });
      at = endOf(token);
      column += token.image.length;
    }

    const block = blocks.length > 0 ? blocks[blocks.length - 1]! + step : 0;
    const first = pieces[0];
    let indent = block;
    const closing = pieces.findIndex(({ type }) => type !== "RBrace");
    const closed = closing < 0 ? pieces.length : closing;
    if (closed > 0) indent = blocks[Math.max(0, blocks.length - closed)] ?? 0;
    else if (first && !first.starts && first.type !== "LBrace" && first.type !== "Comment")
      indent = Math.max(block + onward, segment + step);
    lines.push({ from: head, to, end, pieces, indent });

    let place = indent;
    for (const [index, piece] of pieces.entries()) {
      if (index > 0) place += piece.gap;
      if (piece.starts) segment = index === 0 ? indent : place;
      if (piece.type === "LBrace") blocks.push(indent);
      else if (piece.type === "RBrace") blocks.pop();
      place += piece.to - piece.from;
    }
    from = end;
  }
  return lines;
}

/** Where the words of quantities start, their first left out. */
function laterWords(tree: Tree): Set<number> {
  const found = new Set<number>();
  walk(tree, ({ node }) => {
    if ("cells" in node) return false; // the many cells of a chart's row
    if (!("dimension" in node)) return undefined;
    for (const { index, 0: space } of tree.text.slice(node.from, node.to).matchAll(/\s+/g))
      found.add(node.from + index + space.length);
    return undefined;
  });
  return found;
}

/** Number of lines that may be touched: all those before the statement or item that holds the first mistake. */
export function linesBeforeMistake(tree: Tree, lines: readonly Line[]): number {
  const mistake = tree.errors[0];
  if (!mistake) return lines.length;
  let count = lines.findIndex((line) => mistake.from < line.end);
  if (count < 0) count = lines.length - 1;
  while (count > 0 && lines[count]!.pieces[0]?.starts !== true) count--;
  return Math.max(0, count);
}
