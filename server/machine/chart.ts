/** Timer charts: steps to positions, rows to conditions. */
import { nearestNames, orList } from "../../grammar/suggest.ts";
import type { ChartItem, ChartRowNode } from "../../grammar/tree.ts";
import { notePosition } from "./binding.ts";
import { literalCondition, maskOf } from "./condition-algebra.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import type { Condition, ControlId, ControlPosition, ControlRole } from "./machine.ts";

export interface Chart {
  readonly control: ControlId;
  readonly seconds: readonly number[];
  readonly repeats: boolean;
  readonly rows: ReadonlyMap<string, { readonly cells: string; readonly row: ChartRowNode; readonly index: number }>;
  readonly source: InFile<ChartItem>;
  readonly used: Set<string>;
}

/** A row's cells without spaces, one letter a step. */
export function rowCells(row: ChartRowNode): string {
  return row.cells.map((cell) => cell.text).join("");
}

/** Makes the control of a chart: its positions are the steps. */
export function buildChart(
  draft: Draft,
  part: PartDraft,
  source: InFile<ChartItem>,
  role: ControlRole,
  name: string,
): Chart | undefined {
  const { node, file } = source;
  const positions: ControlPosition[] = [];
  const seconds: number[] = [];
  const groups: { node: ChartItem["steps"][number]; from: number; to: number }[] = [];
  for (const steps of node.steps) {
    const count = Math.min(Math.max(1, Math.floor(steps.count) || 1), 500);
    const place = draft.place(steps.name, file);
    const already = positions.some(
      (position) => position.group === steps.name.text || position.name === steps.name.text,
    );
    if (already) {
      draft.find("duplicate-name", "error", place, {
        what: `Two groups of steps are called ${steps.name.text}.`,
        advice: "Give each group of steps its own name.",
      });
    }
    const from = positions.length;
    for (let number = 1; number <= count; number++) {
      positions.push(
        count === 1
          ? { name: steps.name.text, place }
          : { name: `${steps.name.text} ${number}`, group: steps.name.text, number, place },
      );
      seconds.push((steps.perStep ?? node.perStep)?.value ?? 0);
    }
    groups.push({ node: steps, from, to: positions.length });
  }
  if (positions.length === 0) {
    const longest = Math.max(0, ...node.rows.map((row) => rowCells(row).length));
    for (let number = 1; number <= longest; number++) {
      positions.push({ name: String(number) });
      seconds.push(node.perStep?.value ?? 0);
    }
  }
  if (positions.length === 0) return undefined;
  const control = draft.addControl(part, {
    name,
    role,
    positions,
    rest: 0,
    settled: false,
    place: draft.place(node, file),
  });
  for (const group of groups) {
    const mask = maskOf(positions.length, range(group.from, group.to));
    notePosition(draft, file, group.node.name, draft.controls[control]!, mask, true);
  }
  return {
    control,
    seconds,
    repeats: node.repeats,
    rows: readRows(draft, part, source, positions.length),
    source,
    used: new Set(),
  };
}

function range(from: number, to: number): number[] {
  return Array.from({ length: to - from }, (_, i) => from + i);
}

function readRows(draft: Draft, part: PartDraft, source: InFile<ChartItem>, count: number): Chart["rows"] {
  const rows = new Map<string, { cells: string; row: ChartRowNode; index: number }>();
  source.node.rows.forEach((row, index) => {
    const cells = rowCells(row);
    const place = draft.place(row.name, source.file);
    if (rows.has(row.name.text)) {
      draft.find("duplicate-name", "error", place, {
        what: `The chart of ${part.name} has two rows for ${row.name.text}.`,
        advice: "Keep one row a contact.",
      });
      return;
    }
    if (source.node.steps.length > 0 && cells.length !== count) {
      draft.find("chart-row-length", "error", draft.place(row, source.file), {
        what: `The row of ${row.name.text} has ${cells.length} cells, the chart has ${count} steps.`,
        why: "Every cell behind the gap would stand under the wrong step.",
        advice: cells.length < count ? `Add ${count - cells.length}.` : `Take out ${cells.length - count}.`,
      });
    }
    rows.set(row.name.text, { cells, row, index });
  });
  return rows;
}

/** When the row has this letter; `X` counts as throw 1 too. */
export function chartCondition(draft: Draft, chart: Chart, cells: string, letters: string): Condition {
  const count = draft.controls[chart.control]!.positions.length;
  const steps: number[] = [];
  for (let step = 0; step < Math.min(count, cells.length); step++) if (letters.includes(cells[step]!)) steps.push(step);
  return literalCondition(chart.control, maskOf(count, steps));
}

/** Rows that no contact answers to. */
export function tellLooseRows(draft: Draft, part: PartDraft, chart: Chart): void {
  for (const [name, { row }] of chart.rows) {
    if (chart.used.has(name)) continue;
    const near = nearestNames(name, part.contactNames.keys());
    draft.find("chart-row-without-contact", "error", draft.place(row.name, chart.source.file), {
      what: `${part.name} has no contact called ${name}.`,
      why: "The row says when a contact is closed, but not between which terminals.",
      advice:
        near.length > 0
          ? `Did you mean ${orList(near)}? If not, add the line: contact ${name} A to B.`
          : `Add the line: contact ${name} A to B.`,
    });
  }
}
