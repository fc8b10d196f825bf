/**
 * The formatter. Only white space changes: indentation by braces, calm spaces within lines, charts in columns, one blank line at most
 * in a row, one line break at the end. Line breaks and comments stay, and from the first mistake on nothing is touched.
 */
import { chartsOf, layChart } from "./format-chart.ts";
import { alignRows, commentGap, placeComment, type Row, rowOf } from "./format-columns.ts";
import { keepsMeaning } from "./format-keeps.ts";
import { type Line, linesBeforeMistake, linesOf } from "./format-lines.ts";
import { type Read, readStretch, type Stretch, stretchesOf } from "./format-stretch.ts";
import { parse } from "./parse.ts";
import type { Tree } from "./tree.ts";

/** Replaces the characters from `from` up to `to` (UTF-16, exclusive) by `text`. */
export interface TextEdit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** Edits in text order, none over another. */
export function applyEdits(text: string, edits: readonly TextEdit[]): string {
  let result = "";
  let at = 0;
  for (const edit of edits) {
    result += text.slice(at, edit.from) + edit.text;
    at = edit.to;
  }
  return result + text.slice(at);
}

/** The whole text, formatted. */
export function formatWhole(text: string): string {
  return applyEdits(text, formatText(text));
}

/** Smallest edits that format `text`, in text order. */
export function formatText(text: string): TextEdit[] {
  return formatTree(parse(text));
}

/** Edits that format the text of a tree, in text order; of a part of it, those that are `wanted`. */
export function formatTree(tree: Tree, wanted?: (edit: TextEdit) => boolean): TextEdit[] {
  return formatStretches(tree, stretchesOf(tree), wanted);
}

/**
 * Edits that format the stretches of a text. Where they would change what a stretch says, none of its: the column of a line can decide
 * what it belongs to, and rather no formatting than another circuit.
 */
export function formatStretches(
  { text }: Tree,
  stretches: readonly Stretch[],
  wanted?: (edit: TextEdit) => boolean,
): TextEdit[] {
  // A carriage return alone ends a comment but no line: no text for columns.
  if (/\r(?!\n)/.test(text)) return [];
  const lineBreak = /\r?\n/.exec(text)?.[0] ?? "\n";
  const edits: TextEdit[] = [];
  for (const stretch of stretches) {
    const laid = layouts.of(stretch, lineBreak);
    if (laid.edits.length === 0) continue;
    const { from: by } = stretch;
    const moved = laid.edits.map((edit) => ({ from: edit.from + by, to: edit.to + by, text: edit.text }));
    const some = wanted ? moved.filter(wanted) : moved;
    if (some.length === moved.length ? laid.kept : some.length > 0 && keptBy(stretch, some)) edits.push(...some);
  }
  return edits;
}

/** What the formatter would change in a stretch, and whether it would say the same then. */
interface Laid {
  readonly edits: readonly TextEdit[];
  readonly kept: boolean;
}

/** Stretches that were laid out before: after a keystroke all but one stand as they stood. */
class KnownLayouts {
  #known = new Map<string, Laid>();
  #earlier = new Map<string, Laid>();
  #letters = 0;

  of(stretch: Stretch, lineBreak: string): Laid {
    const key = stretch.last ? `${stretch.text}\0${lineBreak}` : stretch.text;
    const known = this.#known.get(key);
    if (known) return known;
    const laid = this.#earlier.get(key) ?? lay(stretch, lineBreak);
    this.#letters += key.length;
    if (this.#letters > mostLetters) {
      this.#earlier = this.#known;
      this.#known = new Map();
      this.#letters = key.length;
    }
    this.#known.set(key, laid);
    return laid;
  }
}

/** Letters of stretches remembered before the oldest are forgotten. */
const mostLetters = 2_000_000;
const layouts = new KnownLayouts();

function lay(stretch: Stretch, lineBreak: string): Laid {
  const { text } = stretch;
  const read = readStretch(stretch);
  const edits = whiteSpace(read, lineBreak).filter((edit) => text.slice(edit.from, edit.to) !== edit.text);
  return { edits, kept: edits.length === 0 || keepsMeaning(read, edits, applyEdits(text, edits)) };
}

/** Whether a stretch says the same after some of its edits, which have the places of the text. */
function keptBy(stretch: Stretch, edits: readonly TextEdit[]): boolean {
  const own = edits.map((edit) => ({ from: edit.from - stretch.from, to: edit.to - stretch.from, text: edit.text }));
  return keepsMeaning(readStretch(stretch), own, applyEdits(stretch.text, own));
}

/** All white space of a stretch that may be touched, as it should be, changed or not, in text order. */
function whiteSpace(read: Read, lineBreak: string): TextEdit[] {
  const { stretch } = read;
  const { text } = stretch;
  const lines = linesOf(read);
  const free = linesBeforeMistake(stretch, lines);
  const laid = new Map<number, readonly TextEdit[]>();
  const inChart = new Set<number>();
  for (const chart of chartsOf(stretch)) {
    const first = lines.findIndex((line) => chart.from < line.end);
    const last = lines.findIndex((line) => chart.to <= line.to);
    for (let index = first + 1; index < last; index++) inChart.add(index);
    // A chart is laid out as a whole or not at all.
    if (last < 0 || last >= free) continue;
    for (const [index, gaps] of layChart(text, lines, chart) ?? []) laid.set(index, gaps);
  }

  const rows = lines.map(rowOf);
  const inTable = (index: number) => {
    const first = lines[index]!.pieces[0];
    return index < free && !inChart.has(index) && first !== undefined && first.type !== "Comment";
  };
  for (let from = 0; from < free; ) {
    let to = from;
    while (to < free && inTable(to) && lines[to]!.indent === lines[from]!.indent) to++;
    alignRows(text, rows.slice(from, to));
    from = Math.max(to, from + 1);
  }

  const written = lines.findLastIndex(({ pieces }) => pieces.length > 0);
  const end = stretch.last && free === lines.length;
  const edits: TextEdit[] = [];
  for (const [index, row] of rows.slice(0, free).entries()) {
    const { line } = row;
    if (line.pieces.length > 0) edits.push(...(inChart.has(index) ? chartLine(row, laid.get(index)) : ownLine(row)));
    else {
      const spare = index === 0 || lines[index - 1]!.pieces.length === 0 || (end && index > written);
      edits.push({ from: line.from, to: spare ? line.end : line.to, text: "" });
    }
    if (end && index === written && line.end === line.to) edits.push({ from: line.to, to: line.to, text: lineBreak });
  }
  return edits;
}

function ownLine(row: Row): TextEdit[] {
  placeComment(row);
  const { line, gaps } = row;
  const edits = line.pieces.map((piece, index) => {
    const from = index === 0 ? line.from : line.pieces[index - 1]!.to;
    return { from, to: piece.from, text: " ".repeat(gaps[index]!) };
  });
  return [...edits, trailing(line)];
}

/** A chart's row; without a layout its inside stays as it is. */
function chartLine({ line }: Row, inside: readonly TextEdit[] = []): TextEdit[] {
  const first = line.pieces[0]!;
  const edits = [{ from: line.from, to: first.from, text: " ".repeat(line.indent) }, ...inside];
  const last = line.pieces[line.pieces.length - 1]!;
  if (last.type === "Comment" && line.pieces.length > 1) {
    const end = line.pieces[line.pieces.length - 2]!.to;
    const grown = inside.reduce((sum, edit) => sum + edit.text.length - (edit.to - edit.from), 0);
    edits.push({ from: end, to: last.from, text: commentGap(line.indent + end - first.from + grown) });
  }
  return [...edits, trailing(line)];
}

function trailing(line: Line): TextEdit {
  return { from: line.pieces[line.pieces.length - 1]!.to, to: line.to, text: "" };
}
