/**
 * The formatter's view of a text: its lines, what stands on each, and how far each is indented. Line breaks stay where the writer put
 * them; all that ever changes is white space, so no word, label or comment can get lost.
 */
import type { Read, Stretch } from "./format-stretch.ts";
import type { Token } from "./lexer.ts";
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

/** Lines of a stretch, with the indentation that their braces ask for. It has no carriage return but before a line feed. */
export function linesOf(read: Read): Line[] {
  const { text } = read.stretch;
  const quantityWords = laterWords(read.stretch);
  const starts = new Set<number>();
  let fresh = true;
  for (const token of read.separated.tokens) {
    const { name } = token.tokenType;
    if (fresh && token.image !== "" && name !== "RBrace") starts.add(token.startOffset);
    fresh = name === "End" || name === "LBrace";
  }
  const all = inOrder(read.tokens, read.comments);

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
      const { startOffset, image, tokenType } = all[next]!;
      const { name } = tokenType;
      const before = column;
      for (; at < startOffset; at++) column += text[at] === "\t" ? tab - (column % tab) : 1;
      pieces.push({
        from: at,
        // Spaces behind a comment are none of its words.
        to: at + (name === "Comment" ? image.trimEnd().length : image.length),
        type: name,
        gap: column - before,
        starts: starts.has(at),
        inQuantity: quantityWords.has(at),
      });
      at += image.length;
      column += image.length;
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

/** Two lists in text order as one. */
function inOrder(tokens: readonly Token[], comments: readonly Token[]): Token[] {
  const all: Token[] = [];
  let next = 0;
  for (const token of tokens) {
    while (next < comments.length && comments[next]!.startOffset < token.startOffset) all.push(comments[next++]!);
    all.push(token);
  }
  return [...all, ...comments.slice(next)];
}

/** Where the words of quantities start, their first left out. */
function laterWords({ text, from: origin, statements }: Stretch): Set<number> {
  const found = new Set<number>();
  for (const statement of statements)
    walk(statement, ({ node }) => {
      if ("cells" in node) return false; // the many cells of a chart's row
      if (!("dimension" in node)) return undefined;
      for (let at = node.from - origin + 1; at < node.to - origin; at++)
        if (!isSpace(text[at]!) && isSpace(text[at - 1]!)) found.add(at);
      return undefined;
    });
  return found;
}

function isSpace(character: string): boolean {
  return character === " " || /\s/.test(character);
}

/** Number of lines that may be touched: all those before the statement or item that holds the first mistake. */
export function linesBeforeMistake({ from, mistake }: Stretch, lines: readonly Line[]): number {
  if (!mistake) return lines.length;
  let count = lines.findIndex((line) => mistake.from - from < line.end);
  if (count < 0) count = lines.length - 1;
  while (count > 0 && lines[count]!.pieces[0]?.starts !== true) count--;
  return Math.max(0, count);
}
