/** Charts: row names in a column, and each group of cells under its step's name and count. */
import type { Line } from "./format-lines.ts";
import type { Stretch } from "./format-stretch.ts";
import { moveNodes } from "./move-nodes.ts";
import type { ChartItem } from "./tree.ts";
import { walk } from "./walk.ts";

/** Between the columns of a chart. */
const between = 2;

/** The charts of a stretch, at the stretch's own places. */
export function chartsOf({ statements, from }: Stretch): ChartItem[] {
  const charts: ChartItem[] = [];
  for (const statement of statements)
    walk(statement, ({ node }) => {
      if ((node as ChartItem).item !== "chart") return undefined;
      charts.push(moveNodes(node as ChartItem, -from));
      return false;
    });
  return charts;
}

/** A line of a chart: its name and what stands in each of its columns, as offsets of single cells or of a step's words. */
interface ChartLine {
  readonly line: number;
  readonly steps: boolean;
  /** For each column, places of its parts; parts of a step have one space between them, cells none. */
  readonly columns: (readonly { readonly from: number; readonly to: number }[])[];
  readonly name: { readonly from: number; readonly to: number };
}

type Part = { readonly from: number; readonly to: number };

/** White space that a chart's line should have: from the end of one part to the start of the next. */
export interface ChartGap {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** White space within each row, by the index of its line. */
export type ChartLayout = ReadonlyMap<number, readonly ChartGap[]>;

/**
 * Lays out one chart. `undefined` when its lines are not one row each, when it has dividers of its own, or when rows and steps do not
 * match line by line: then the writer's own columns stay.
 */
export function layChart(text: string, lines: readonly Line[], chart: ChartItem): ChartLayout | undefined {
  const opening = lines.findIndex((line) => chart.from < line.end);
  const open = lines[opening]?.pieces.find(({ from, type }) => from > chart.from && type === "LBrace");
  const closing = lines.findIndex((line) => chart.to <= line.to);
  if (!open || closing <= opening + 1) return undefined;
  const behind = lines[opening]!.pieces.some(({ from, type }) => from > open.from && type !== "Comment");
  const close = lines[closing]!.pieces[0];
  if (behind || close?.type !== "RBrace" || close.to !== chart.to) return undefined;

  const sections: ChartLine[][] = [];
  for (let index = opening + 1; index < closing; index++) {
    const read = readLine(text, lines[index]!, index, chart, sections[sections.length - 1]?.[0]);
    if (read === "nothing") continue;
    if (read === undefined) return undefined;
    if (read.steps) sections.push([read]);
    else sections[sections.length - 1]!.push(read);
  }
  const all = sections.flat();
  const nameWidth = Math.max(...all.map(({ name }) => name.to - name.from));
  return new Map(sections.flatMap((section) => sectionGaps(section, nameWidth)));
}

function readLine(
  text: string,
  line: Line,
  index: number,
  chart: ChartItem,
  steps: ChartLine | undefined,
): ChartLine | "nothing" | undefined {
  const pieces = line.pieces.filter(({ type }) => type !== "Comment");
  const first = pieces[0];
  if (!first) return "nothing";
  if (!first.starts) return undefined;
  if (text.slice(first.from, first.to) === "steps") {
    const columns = chart.steps
      .filter(({ from }) => from >= line.from && from < line.to)
      .map((step) => pieces.filter(({ from, to }) => from >= step.from && to <= step.to) as Part[]);
    const used = columns.reduce((sum, column) => sum + column.length, 1);
    return used === pieces.length ? { line: index, steps: true, columns, name: first } : undefined;
  }
  if (!steps) return undefined;
  let nameTo = first.to;
  const cells: Part[] = [];
  for (const piece of pieces.slice(1)) {
    if (cells.length === 0 && piece.from === nameTo) nameTo = piece.to;
    else for (let at = piece.from; at < piece.to; at++) cells.push({ from: at, to: at + 1 });
  }
  if (cells.some(({ from }) => text[from] === "|")) return undefined;
  const counts = steps.columns.map((column) => chart.steps.find(({ from }) => from === column[0]!.from)!.count);
  if (counts.reduce((sum, count) => sum + count, 0) !== cells.length) return undefined;
  let at = 0;
  const columns = counts.map((count) => {
    at += count;
    return cells.slice(at - count, at);
  });
  return { line: index, steps: false, columns, name: { from: first.from, to: nameTo } };
}

function sectionGaps(section: readonly ChartLine[], nameWidth: number): [number, ChartGap[]][] {
  // A step's words keep the spaces they have in `timed 12`: one.
  const width = (chartLine: ChartLine, column: number) => {
    const parts = chartLine.columns[column]!;
    const letters = parts.reduce((sum, { from, to }) => sum + to - from, 0);
    return chartLine.steps ? letters + innerSpaces(parts) : letters;
  };
  const widths = section[0]!.columns.map((_, column) => Math.max(...section.map((line) => width(line, column))));
  return section.map((line) => {
    const gaps: ChartGap[] = [];
    let end = line.name.to;
    let owed = nameWidth - (line.name.to - line.name.from) + between;
    for (const [column, parts] of line.columns.entries()) {
      for (const [index, part] of parts.entries()) {
        const inside = line.steps && part.from > end ? 1 : 0;
        gaps.push({ from: end, to: part.from, text: " ".repeat(index === 0 ? owed : inside) });
        end = part.to;
      }
      if (parts.length === 0) owed += widths[column]! + between;
      else owed = widths[column]! - width(line, column) + between;
    }
    return [line.line, gaps];
  });
}

function innerSpaces(parts: readonly Part[]): number {
  return parts.filter((part, index) => index > 0 && part.from > parts[index - 1]!.to).length;
}
