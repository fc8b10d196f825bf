/** The bench of a file: one findings block diagnosed, and where the next line of it goes. */
import type { BenchReport, ReportedReading } from "../base/bench.ts";
import { describeState } from "../machine/describe.ts";
import type { MachineState } from "../machine/machine.ts";
import { readCase } from "../meter/case.ts";
import { diagnose } from "../meter/diagnose.ts";
import { pointInText } from "../meter/points.ts";
import { type ReadingLine, readingsBetween } from "../meter/readings.ts";
import { benchReport } from "../meter/report.ts";
import { drawCircuit } from "../pictures/drawing.ts";
import { drawingStyle, drawingSvg } from "../pictures/drawing-svg.ts";
import type { Engine } from "../states/engine.ts";
import type { DrawingLook } from "./pictures.ts";
import type { BenchView, FileView, MachineView } from "./view.ts";

export interface BenchAnswer {
  readonly report: BenchReport;
  /** Labels of all blocks of the file, and which one this is. */
  readonly blocks: readonly string[];
  readonly index: number;
  readonly from: number;
  readonly to: number;
  /** The circuit as a sound machine stands in the first situation; style apart. */
  readonly drawing: { readonly svg: string; readonly style: string };
  /** Where a line about each reading goes (`next` first, then `others`), and what stands before it on a line. */
  readonly inserts: readonly { readonly at: number; readonly indent: string; readonly block: boolean }[];
}

const known = new WeakMap<BenchView, BenchReport>();

/** Worked out once for each version of the text. */
export function benchReportOf(view: FileView, bench: BenchView): BenchReport {
  let report = known.get(bench);
  if (!report) {
    const { engine, statement } = bench;
    const found = readCase(engine, statement, view.file, view.text);
    known.set(bench, (report = benchReport(engine.circuit.machine, diagnose(engine, found))));
  }
  return report;
}

/** `index` names the block, else the one around `offset`, else the last. Undefined without findings or before all is worked out. */
export function benchOf(
  view: FileView,
  index: number | undefined,
  offset: number,
  look: DrawingLook = {},
): BenchAnswer | undefined {
  const benches = view.benches ?? [];
  const around = benches.findIndex(({ statement }) => statement.from <= offset && offset <= statement.to);
  const at = index !== undefined && benches[index] ? index : around >= 0 ? around : benches.length - 1;
  const bench = benches[at];
  if (!bench) return undefined;
  const { engine, statement } = bench;
  const found = readCase(engine, statement, view.file, view.text);
  const report = benchReportOf(view, bench);
  const last = statement.entries.at(-1);
  const end = last?.to ?? (statement.block ? statement.block.from + 1 : statement.to);
  const indent = last ? (/[ \t]*$/.exec(view.text.slice(0, last.from))?.[0] ?? "  ") : "  ";
  const insert = ({ condition, situation }: ReportedReading) => ({
    // A reading with a line `when` of its own goes to the end, so that what stands below keeps its state.
    at: condition === undefined ? (found.ends[situation] ?? end) : end,
    indent,
    block: statement.block !== undefined,
  });
  return {
    report,
    blocks: benches.map(({ statement: each }) => each.label?.text ?? "findings"),
    index: at,
    from: statement.from,
    to: statement.to,
    drawing: drawn(engine, found.situations[0]?.healthy, look),
    inserts: [...(report.next ? [report.next] : []), ...report.others].map(insert),
  };
}

function drawn(engine: Engine, state: MachineState | undefined, look: DrawingLook): BenchAnswer["drawing"] {
  const live = state && { state, solution: engine.solve(state) };
  return { svg: drawingSvg(drawCircuit(engine.circuit.machine, live, look), { styled: false }), style: drawingStyle };
}

/** A block to begin with, about the state that is shown. */
export function newBench(view: MachineView, state: MachineState | undefined): string {
  const words = state ? describeState(view.machine, state) : "";
  const when = words === "" || words === "everything at rest" ? "" : `  when ${words}\n`;
  return `\nfindings "what is wrong" {\n${when}}\n`;
}

/** What a meter reads between the two points that a stretch of text names; undefined unless it names two. */
export function readingsIn(
  view: MachineView,
  text: string,
  state: MachineState | undefined,
): { readonly a: string; readonly b: string; readonly lines: readonly ReadingLine[] } | undefined {
  const { machine, circuit } = view;
  const points = [...text.matchAll(/[\p{L}_][\p{L}\p{N}_-]*(?:\.(?:"[^"]*"|[\p{L}\p{N}_+-]+))?/gu)].flatMap(
    ([name]) => pointInText(machine, name) ?? [],
  );
  const terminals = points.flatMap((point) => point.terminals);
  const [a, b] = points.length === 1 ? terminals : [points[0]?.terminals[0], points.at(-1)?.terminals.at(-1)];
  if (a === undefined || b === undefined || a === b || !state) return undefined;
  const name = (terminal: number): string => machine.terminals[terminal]!.fullName;
  return { a: name(a), b: name(b), lines: readingsBetween(circuit, state, a, b) };
}
