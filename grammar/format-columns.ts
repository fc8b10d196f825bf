/**
 * Spaces within a line. One space stands between words and two set off a phrase, as before `rated` or a wire's colour. What the
 * writer has put into columns, over lines that follow each other, stays in columns, no wider than they need to be.
 */
import type { Line, Piece } from "./format-lines.ts";

/** A line and the white space that its pieces should have before them, in columns. */
export interface Row {
  readonly line: Line;
  readonly gaps: number[];
}

/** Where comments behind a line stand, so that they form one column through the whole file. */
const commentColumn = 58;
/** Before a comment that does not fit there, and before a phrase. */
const wide = 2;
/** Two are the rule; a bound, so that nothing can ever go on and on. */
const rounds = 20;

const separators = new Set(["Comma", "Semicolon"]);
const openers = new Set(["LParen", "LSquare"]);
const closers = new Set(["RParen", "RSquare"]);
const numbers = new Set(["Int", "Dec", "DecUnit", "NumName"]);

/** Spaces between two pieces where the language's marks decide, undefined elsewhere. */
function decided(before: Piece, piece: Piece): number | undefined {
  if (separators.has(piece.type) || openers.has(before.type) || closers.has(piece.type)) return 0;
  if (piece.inQuantity) return Math.min(piece.gap, 1);
  if (piece.type === "LBrace" || piece.type === "RBrace") return 1;
  return before.type === "LBrace" || before.type === "RBrace" ? 1 : undefined;
}

/** The line with the writer's own spaces, save for its indentation and those around marks. */
export function rowOf(line: Line): Row {
  const gaps = line.pieces.map((piece, index) => {
    const before = line.pieces[index - 1];
    if (!before) return line.indent;
    const missing = piece.gap === 0 && separators.has(before.type);
    const decimal = missing && numbers.has(piece.type) && numbers.has(line.pieces[index - 2]?.type ?? "");
    return decided(before, piece) ?? (missing && !decimal ? 1 : piece.gap);
  });
  return { line, gaps };
}

/** Pieces that may move: neither first, nor a comment, nor tied to the piece before. */
function moves({ line, gaps }: Row, index: number): boolean {
  const piece = line.pieces[index];
  const before = line.pieces[index - 1];
  return !!piece && !!before && gaps[index]! > 0 && piece.type !== "Comment" && decided(before, piece) === undefined;
}

/** Columns at which the pieces start. */
function startsOf({ line, gaps }: Row): number[] {
  const starts: number[] = [];
  let column = 0;
  for (const [index, { from, to }] of line.pieces.entries()) {
    const start = column + gaps[index]!;
    starts.push(start);
    column = start + to - from;
  }
  return starts;
}

/**
 * Rows that follow each other with the same indentation. Moving one column may bring others above each other, so it is done until
 * nothing moves: what is laid out once stays as it is.
 */
export function alignRows(text: string, rows: readonly Row[]): void {
  for (let round = 0; round < rounds; round++) {
    const before = rows.map(({ gaps }) => gaps.slice());
    alignNames(text, rows);
    alignColumns(rows);
    if (rows.every(({ gaps }, row) => gaps.every((gap, index) => gap === before[row]![index]))) return;
  }
}

/** `contact run  A to B` above `contact heat C to D`: a name that has become longer moves what follows the others. */
function alignNames(text: string, rows: readonly Row[]): void {
  const word = (row: Row, index: number) => {
    const piece = row.line.pieces[index];
    return piece ? text.slice(piece.from, piece.to) : "";
  };
  const named = (row: Row) =>
    row.line.pieces[0]!.starts && moves(row, 1) && moves(row, 2) && word(row, 2) !== "to" && word(row, 0) !== "wire";
  for (let from = 0; from < rows.length; ) {
    let to = from;
    while (to < rows.length && named(rows[to]!) && word(rows[to]!, 0) === word(rows[from]!, 0)) to++;
    const run = rows.slice(from, to);
    const columns = new Set(run.map((row) => startsOf(row)[2]));
    // Somebody began a column, and it is no longer one.
    if (columns.size > 1 && run.some((row) => row.gaps[2]! >= wide)) {
      for (const row of run) row.gaps[1] = 1;
      const gap = Math.min(wide, ...run.map((row) => row.gaps[2]!));
      const length = (row: Row) => row.line.pieces[1]!.to - row.line.pieces[1]!.from;
      const longest = Math.max(...run.map(length));
      for (const row of run) row.gaps[2] = longest - length(row) + gap;
    }
    from = Math.max(to, from + 1);
  }
}

interface Column {
  readonly start: number;
  /** From the upper row to the lower one; each row's piece by its index. */
  readonly members: { readonly row: number; readonly index: number }[];
}

/** A piece that stands in the row above. */
interface Upper {
  readonly index: number;
  readonly gap: number;
  column: Column | undefined;
}

/** One space above one space is chance, not a column; so is one space above a phrase that is another word of its line. */
function isColumn(upper: Upper, index: number, gap: number): boolean {
  if (upper.index === index) return Math.max(upper.gap, gap) >= wide;
  return Math.min(upper.gap, gap) >= wide;
}

function columnsOf(rows: readonly Row[]): Column[] {
  const columns: Column[] = [];
  const begin = (start: number, row: number, index: number): Column => {
    const column = { start, members: [{ row, index }] };
    columns.push(column);
    return column;
  };
  let above = new Map<number, Upper>();
  for (const [row, content] of rows.entries()) {
    const here = new Map<number, Upper>();
    for (const [index, start] of startsOf(content).entries()) {
      if (!moves(content, index)) continue;
      const gap = content.gaps[index]!;
      const upper = above.get(start);
      let column: Column | undefined;
      if (upper && isColumn(upper, index, gap)) {
        column = upper.column ?? begin(start, row - 1, upper.index);
        column.members.push({ row, index });
      } else if (gap >= wide) column = begin(start, row, index);
      here.set(start, { index, gap, column });
    }
    above = here;
  }
  return columns;
}

function alignColumns(rows: readonly Row[]): void {
  // From left to right, so that all that stands before a column has its place already.
  const columns = columnsOf(rows).sort((a, b) => a.start - b.start);
  const gapsBefore = rows.map(({ gaps }) => gaps.slice());
  // Of each row, how many pieces have their place and where the last of them ends.
  const placed = rows.map(() => ({ count: 0, end: 0 }));
  const endBefore = (row: number, index: number): number => {
    const { line, gaps } = rows[row]!;
    const done = placed[row]!;
    for (; done.count < index; done.count++) {
      const { from, to } = line.pieces[done.count]!;
      done.end += gaps[done.count]! + to - from;
    }
    return done.end;
  };
  for (const { members } of columns) {
    // No phrase begins right behind the first word.
    const alone = members.length === 1 && members[0]!.index === 1;
    const gap = alone ? 1 : Math.min(wide, ...members.map(({ row, index }) => gapsBefore[row]![index]!));
    const ends = members.map(({ row, index }) => endBefore(row, index));
    const start = Math.max(...ends) + gap;
    for (const [which, { row, index }] of members.entries()) rows[row]!.gaps[index] = start - ends[which]!;
  }
}

/** Puts the comment behind the line, if there is one, into its column. */
export function placeComment(row: Row): void {
  const { pieces } = row.line;
  const last = pieces.length - 1;
  if (last < 1 || pieces[last]!.type !== "Comment") return;
  const end = startsOf(row)[last]! - row.gaps[last]!;
  row.gaps[last] = commentGap(end).length;
}

/** Spaces before a comment behind a line that ends at column `end`. */
export function commentGap(end: number): string {
  return " ".repeat(Math.max(commentColumn - end, wide));
}
