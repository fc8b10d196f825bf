/** Timer charts: step names with their counts, and one row of cells per contact. */
import { endOf } from "./lexer.ts";
import { ItemReader } from "./read-item.ts";
import type { Draft } from "./reader.ts";
import type { ChartCellNode, ChartItem, ChartRowNode, ChartStepsNode } from "./tree.ts";

const cellLetters = /[Xx12~-]/;
/** How other charts mark open and closed contacts. Common practice, no published source. */
const otherCells = new Map<string, string>();
for (const mark of ["O", "o", "0", ".", "_"]) otherCells.set(mark, "-");
for (const mark of ["*", "+", "=", "●", "■", "•"]) otherCells.set(mark, "X");

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
        if (this.is("/") && this.is("step", 2)) {
          this.tellWritten(this.take(), "per", "chart 5 min per step", " per ");
          this.take();
        } else if (this.takeIf("per")) this.takeIf("step");
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
    if (this.is(",") || this.is("|")) this.take();
    this.tellColonHere();
    if (!this.isWord() && !this.isLabel() && this.peek().tokenType.name !== "NumName") {
      if (!this.isInt()) return false;
      this.readStepNumbers(chart);
      return true;
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

  private tellColonHere(): void {
    if (!this.is(":")) return;
    const colon = this.take();
    const place = { from: colon.startOffset, to: endOf(colon) };
    this.problem(place, "unexpected-word", "No colon stands in a chart.", "Leave it out.", [""]);
  }

  /** `1 2 3 4`: steps that are only numbered are one group. */
  private readStepNumbers(chart: ChartDraft): void {
    const first = this.takeName();
    let count = 1;
    for (; this.isInt() && this.sameLine(); count++) this.take();
    const place = { from: first.from, to: this.lastEnd() };
    const advice = "Name the group of steps and say how many they are: `timed 12`.";
    if (count === 1)
      this.problem(place, "step-without-name", `The step count ${first.text} has no name before it.`, advice);
    else {
      this.problem(place, "step-without-name", "The steps have numbers only.", advice, [`step ${count}`]);
      chart.steps.push({ ...place, name: { ...place, text: "step" }, count });
    }
  }

  private readCells(chart: ChartDraft): void {
    if (!this.isName()) return;
    const first = this.takeName();
    this.tellColonHere();
    // A row may be called by its terminals, `1-4`: all up to the first space.
    while (!this.atEnd() && this.LA(0).image !== ":" && this.peek().startOffset === this.lastEnd()) this.take();
    const to = this.LA(0).image === ":" ? first.to : this.lastEnd();
    const name = to === first.to ? first : { from: first.from, to, text: this.source.slice(first.from, to) };
    const from = this.peek().startOffset;
    let last = from;
    while (!this.atEnd()) last = endOf(this.take());
    const cells: ChartCellNode[] = [];
    let told = from;
    for (let at = from; at < last; at++) {
      const text = this.source[at]!;
      if (text === " " || text === "\t" || text === "|") continue;
      if (!cellLetters.test(text) && at >= told) {
        told = at + 1;
        while (told < last && !/[Xx12~|\s-]/.test(this.source[told]!)) told++;
        const written = this.source.slice(at, told);
        this.problem(
          { from: at, to: told },
          "chart-cell",
          `\`${written}\` is no chart cell.`,
          "Write X for closed, - for open, 1 and 2 for the throws of a changeover, ~ for a contact that cycles.",
          otherCells.has(text) && /^(.)\1*$/.test(written) ? [otherCells.get(text)!.repeat(written.length)] : undefined,
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
