/**
 * The formatter. Only white space changes: indentation by braces, calm spaces within lines, charts in columns, one blank line at most
 * in a row, one line break at the end. Line breaks and comments stay, and from the first mistake on nothing is touched.
 */
import { chartsOf, layChart } from "./format-chart.ts";
import { alignRows, commentGap, placeComment, type Row, rowOf } from "./format-columns.ts";
import { type Line, linesBeforeMistake, linesOf } from "./format-lines.ts";
import { parse } from "./parse.ts";
import { sameMeaning } from "./same-meaning.ts";
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
  return formatWhere(text, () => true);
}

/** Of the edits that format `text`, those that are `wanted`. None when they would change what the text says. */
export function formatWhere(text: string, wanted: (edit: TextEdit) => boolean): TextEdit[] {
  // A carriage return alone ends a comment but no line: no text for columns.
  if (/\r(?!\n)/.test(text)) return [];
  const tree = parse(text);
  const edits = whiteSpace(text, tree).filter((edit) => text.slice(edit.from, edit.to) !== edit.text && wanted(edit));
  if (edits.length === 0) return [];
  // The column of a line can decide what it belongs to. Rather no formatting than another circuit.
  return sameMeaning(tree, parse(applyEdits(text, edits))) ? edits : [];
}

/** All white space that may be touched, as it should be, changed or not, in text order. */
function whiteSpace(text: string, tree: Tree): TextEdit[] {
  const lines = linesOf(tree);
  const free = linesBeforeMistake(tree, lines);
  const laid = new Map<number, readonly TextEdit[]>();
  const inChart = new Set<number>();
  for (const chart of chartsOf(tree)) {
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
  const edits: TextEdit[] = [];
  for (const [index, row] of rows.slice(0, free).entries()) {
    const { line } = row;
    if (line.pieces.length > 0) edits.push(...(inChart.has(index) ? chartLine(row, laid.get(index)) : ownLine(row)));
    else {
      const spare = index === 0 || lines[index - 1]!.pieces.length === 0 || (index > written && free === lines.length);
      edits.push({ from: line.from, to: spare ? line.end : line.to, text: "" });
    }
    if (index === written && line.end === line.to && free === lines.length)
      edits.push({ from: line.to, to: line.to, text: /\r?\n/.exec(text)?.[0] ?? "\n" });
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
