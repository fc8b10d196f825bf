/** Timer charts: step names with their counts, and one row of cells per contact. */
import { endOf } from "./lexer.ts";
import { ItemReader } from "./read-item.ts";
import type { Draft } from "./reader.ts";
import type { ChartCellNode, ChartItem, ChartRowNode, ChartStepsNode } from "./tree.ts";

const cellLetters = /[Xx0-9~-]/;

export type ChartDraft = Draft<ChartItem> & { steps: ChartStepsNode[]; rows: ChartRowNode[] };

export class ChartReader extends ItemReader {
  /** True from a second `steps` line on: rows go on where they stopped. */
  private wraps = false;

  /** `chart fast 5 min per step repeats`, up to the brace. */
  protected readChartHead(chart: ChartDraft): void {
    this.wraps = false;
    while (!this.atEnd()) {
      if (this.is("fast")) {
        this.take();
        chart.fast = true;
      } else if (this.is("repeats")) {
        this.take();
        chart.repeats = true;
      } else if (this.isNumber()) {
        const quantity = this.readQuantity(["time"], "a chart's step");
        if (quantity) chart.perStep = quantity;
        if (this.takeIf("per")) this.takeIf("step");
        else this.missing("`per step`", "Write `chart 5 min per step`.");
      } else if (this.isName() && !chart.name) chart.name = this.takeName();
      else break;
    }
  }

  protected readChartRow(chart: ChartDraft): void {
    if (this.is("steps")) {
      this.take();
      if (chart.steps.length > 0) this.wraps = true;
      while (!this.atEnd() && this.readSteps1(chart));
    } else this.readCells(chart);
  }

  /** `spin 2 of 45 s`. */
  private readSteps1(chart: ChartDraft): boolean {
    if (this.is(",")) this.take();
    if (!this.isWord() && !this.isLabel() && this.peek().tokenType.name !== "NumName") {
      if (!this.isInt()) return false;
      const from = this.peek().startOffset;
      const name = this.takeName();
      this.problem(
        name,
        "step-without-name",
        `The step count ${name.text} has no name before it.`,
        "Name the group of steps: `timed 12`.",
      );
      return from >= 0;
    }
    const name = this.takeName();
    const steps: Draft<ChartStepsNode> = { from: name.from, to: name.to, name, count: 1 };
    if (this.isInt()) steps.count = Math.min(Number(this.take().image), 1000);
    else
      this.problem(
        name,
        "step-without-count",
        `The steps \`${name.text}\` have no count.`,
        `Write how many: \`${name.text} 1\`.`,
        [`${name.text} 1`],
      );
    if (this.is("of") && this.isNumber(2)) {
      this.take();
      const quantity = this.readQuantity(["time"], "a step");
      if (quantity) steps.perStep = quantity;
    }
    steps.to = this.lastEnd();
    chart.steps.push(steps);
    return true;
  }

  private readCells(chart: ChartDraft): void {
    if (!this.isName()) return;
    const first = this.takeName();
    // A row may be called by its terminals, `1-4`: all up to the first space.
    while (!this.atEnd() && this.peek().startOffset === this.lastEnd()) this.take();
    const to = this.lastEnd();
    const name = to === first.to ? first : { from: first.from, to, text: this.source.slice(first.from, to) };
    const from = this.peek().startOffset;
    let last = from;
    while (!this.atEnd()) last = endOf(this.take());
    const cells: ChartCellNode[] = [];
    for (let at = from; at < last; at++) {
      const text = this.source[at]!;
      if (text === " " || text === "\t" || text === "|") continue;
      if (!cellLetters.test(text)) {
        this.problem(
          { from: at, to: at + 1 },
          "chart-cell",
          `\`${text}\` is no chart cell.`,
          "Write X for closed, - for open, 1 or 2 for the throws of a changeover, ~ for cycling.",
        );
      }
      cells.push({ from: at, to: at + 1, text });
    }
    const known = this.wraps ? chart.rows.findIndex((row) => row.name.text === name.text) : -1;
    if (known >= 0) {
      const row = chart.rows[known]!;
      chart.rows[known] = { ...row, to: this.lastEnd(), cells: [...row.cells, ...cells] };
    } else chart.rows.push({ from: name.from, to: this.lastEnd(), name, cells });
  }

  /** Rows must have one cell a step. */
  protected checkChart(chart: ChartDraft): void {
    if (chart.steps.length === 0) {
      if (chart.rows.length > 0)
        this.problem(
          chart.rows[0]!.name,
          "chart-without-steps",
          "This chart has no `steps` row.",
          "Write the names of its steps first: `steps off 1 timed 12`.",
        );
      return;
    }
    const count = chart.steps.reduce((sum, steps) => sum + steps.count, 0);
    for (const row of chart.rows) {
      if (row.cells.length === count) continue;
      const given = row.cells.length;
      this.problem(
        row,
        "chart-row-length",
        `Row \`${row.name.text}\` has ${given} ${given === 1 ? "cell" : "cells"}, but the chart has ${count} steps.`,
        given < count ? `Add ${count - given}.` : `Remove ${given - count}.`,
      );
    }
  }
}
