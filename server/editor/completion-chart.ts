/** Rows of a chart: the contacts that have none yet, and as many cells as the steps ask for. */
import type { ChartItem, ChartStepsNode, Statement } from "../../grammar/tree.ts";
import type { Choice } from "./completion.ts";
import type { Sentence } from "./sentence.ts";
import type { FileView } from "./view.ts";

export function chartRows({ tree }: FileView, { block, before, typed }: Sentence, offset: number): Choice[] {
  const statement = tree.statements.find(
    (one): one is Extract<Statement, { statement: "part" | "type" }> =>
      (one.statement === "part" || one.statement === "type") && one.from <= offset && offset <= one.to + 1,
  );
  const chart = statement?.items.find(
    (item): item is ChartItem => item.item === "chart" && item.from <= block.from && block.from <= item.to,
  );
  const steps = chart?.steps ?? [];
  const total = steps.reduce((sum, { count }) => sum + count, 0);
  if (before.length === 0) {
    if (steps.length === 0)
      return [
        {
          label: "steps",
          kind: "chart-row",
          detail: "names of the steps, each with its count",
          insert: "steps  off 1  ",
          rank: 0,
        },
      ];
    const rows = new Set(chart!.rows.map(({ name }) => name.text));
    const names = (statement?.items ?? []).flatMap((item) => {
      if (item.item !== "contact") return [];
      const ends = [item.common, item.throws[0]].flatMap((end) => (end ? [end.text] : []));
      const name = item.name?.text ?? ends.join("-");
      return name === "" || rows.has(name) ? [] : [name];
    });
    const wide = Math.max(5, ...names.map((name) => name.length));
    return [...new Set(names)].map((name) => ({
      label: name,
      kind: "chart-row",
      detail: `a row of ${total} cells`,
      insert: `${name.padEnd(wide)}  ${cells(steps, 0)}`,
      rank: 0,
    }));
  }
  if (before[0]!.text === "steps" || total === 0) return [];
  // Cells behind the row's name, written so far.
  const line = tree.text.lastIndexOf("\n", offset - 1) + 1;
  const written = tree.text.slice(Math.max(line, before[0]!.to), offset).replace(/\s/g, "").length;
  const left = total - written;
  if (left <= 0) return [];
  const rest = cells(steps, written);
  return [
    {
      label: typed + rest,
      kind: "chart-row",
      detail: left === 1 ? "the last cell, open" : `the other ${left} cells, open`,
      rank: 0,
    },
  ];
}

/** Open cells from step `from` on, a gap between groups. */
function cells(steps: readonly ChartStepsNode[], from: number): string {
  let at = 0;
  const groups: string[] = [];
  for (const { count } of steps) {
    const left = at + count - Math.max(at, from);
    if (left > 0) groups.push("-".repeat(left));
    at += count;
  }
  return groups.join("  ");
}
