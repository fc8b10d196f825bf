/** The timer chart as bars: contacts against steps, and below them what the loads get in each step. Plain data, then SVG text. */
import { supplyOn } from "../checks/ask.ts";
import type { LoadId, Machine, TimerProgram } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { movingConditions } from "./moving-conditions.ts";
import { lines } from "./sheet-notes.ts";
import { escapeText, px, textWidth } from "./text.ts";

export interface ChartBar {
  /** First step and the one after the last, from 0. */
  readonly from: number;
  readonly to: number;
  /** `can`: in some states of the step; `always`: in all of them. Contacts are always `always`, or `cycles` (`~`). */
  readonly how: "always" | "can" | "cycles";
  /** Of a changeover: which side is made, as written in its cell. */
  readonly side?: string;
}

export interface ChartRow {
  readonly name: string;
  readonly of: "contact" | "load";
  readonly bars: readonly ChartBar[];
}

export interface TimerChart {
  readonly title: string;
  /** Name of the control that the steps are positions of, and the name of each. */
  readonly control: string;
  readonly positions: readonly string[];
  readonly groups: readonly { readonly name: string; readonly from: number; readonly to: number }[];
  readonly steps: number;
  readonly rows: readonly ChartRow[];
  /** Whether the timer never moves on, only under some conditions moves on, or always moves on in a step; empty without an engine. */
  readonly moves: readonly ("never" | "can" | "always")[];
  /** For each step in which it can: when it does, in words. */
  readonly conditions: readonly string[];
}

export function timerChart(machine: Machine, program: TimerProgram, engine?: Engine): TimerChart {
  const control = machine.controls[program.control]!;
  const steps = control.positions.length;
  const groups: { name: string; from: number; to: number }[] = [];
  control.positions.forEach(({ name, group }, step) => {
    const last = groups.at(-1);
    if (last && last.name === (group ?? name)) last.to = step + 1;
    else groups.push({ name: group ?? name, from: step, to: step + 1 });
  });
  const rows: ChartRow[] = program.rows.map(({ name, cells }) => ({
    name,
    of: "contact",
    bars: runs([...cells].slice(0, steps), (cell) =>
      cell === "-"
        ? undefined
        : { how: cell === "~" ? "cycles" : "always", ...(/^[0-9]$/.test(cell) ? { side: cell } : {}) },
    ),
  }));
  const moves: TimerChart["moves"][number][] = [];
  const conditions: string[] = [];
  if (engine) {
    // With the plug out nothing works in any step; that says nothing about the program.
    const on = supplyOn(engine);
    const regions = control.positions.map((_, step) => {
      const positions = new Uint8Array(steps);
      positions[step] = 1;
      return engine.and(on, engine.where([[{ control: control.id, positions }]]));
    });
    const how = (load: LoadId): ("never" | "can" | "always")[] => {
      const works = engine.when(load, ["works", "over"]);
      return regions.map((region) => {
        if (engine.isEmpty(engine.and(region, works))) return "never";
        return engine.isEmpty(engine.and(region, engine.not(works))) ? "always" : "can";
      });
    };
    for (const load of machine.loads) {
      // No state at rest shows a start winding at work: it lasts a moment. An empty row would read as a fault.
      if (load.kind === "start-winding") continue;
      if (load.kind === "capacitor" || load.kind === "diode" || load.kind === "resistor") continue;
      const each = how(load.id);
      if (load.id === program.drive) {
        moves.push(...each);
        conditions.push(...movingConditions(engine, control.id, regions, engine.when(load.id, ["works", "over"])));
      }
      rows.push({
        name: load.name,
        of: "load",
        bars: runs(each, (cell) => (cell === "never" ? undefined : { how: cell })),
      });
    }
  }
  const part = machine.parts[program.part]!;
  return {
    title: part.label ? `${part.name} ${part.label}` : part.name,
    control: control.name,
    positions: control.positions.map(({ name }) => name),
    groups,
    steps,
    rows,
    moves,
    conditions,
  };
}

function runs<T>(cells: readonly T[], look: (cell: T) => Omit<ChartBar, "from" | "to"> | undefined): ChartBar[] {
  const bars: ChartBar[] = [];
  cells.forEach((cell, step) => {
    const bar = look(cell);
    if (!bar) return;
    const last = bars.at(-1);
    if (last && last.to === step && last.how === bar.how && last.side === bar.side)
      bars[bars.length - 1] = { ...last, to: step + 1 };
    else bars.push({ ...bar, from: step, to: step + 1 });
  });
  return bars;
}

/** Neighbouring steps in which the timer moves on alike; a letter for each condition, in their order. */
function movingRuns(moves: TimerChart["moves"], conditions: readonly string[]) {
  const letters = new Map<string, string>();
  const found: { from: number; to: number; move: TimerChart["moves"][number]; letter: string; words: string }[] = [];
  moves.forEach((move, step) => {
    const words = conditions[step] ?? "";
    const letter = words === "" ? "" : (letters.get(words) ?? letterOf(letters.size));
    if (words !== "") letters.set(words, letter);
    const last = found.at(-1);
    if (last && last.move === move && last.words === words) last.to = step + 1;
    else found.push({ from: step, to: step + 1, move, letter, words });
  });
  return found;
}

/** a to z, then a1 and on. */
function letterOf(index: number): string {
  const round = Math.floor(index / 26);
  return `${String.fromCharCode(97 + (index % 26))}${round === 0 ? "" : round}`;
}

const ROW = 24;
const HEAD = 62;

/** Rules that a page may bring itself, where style elements inside pictures are not allowed. */
export const chartStyle = `
.camleaf-chart{color:var(--camleaf-ink,var(--vscode-editor-foreground,CanvasText));background:var(--camleaf-paper,var(--vscode-editor-background,Canvas));font:11px var(--vscode-font-family,sans-serif)}
.camleaf-chart text{fill:currentColor}
.camleaf-chart path{stroke:currentColor;fill:none;stroke-width:1;opacity:.35}
.camleaf-chart path.edge{opacity:.8}
.camleaf-chart rect{stroke:currentColor;stroke-width:1.2;fill:none}
.camleaf-chart .always{fill:currentColor;fill-opacity:.75}
.camleaf-chart .load.always{fill:var(--camleaf-carries,currentColor)}
.camleaf-chart .can{stroke-dasharray:3 2;fill:currentColor;fill-opacity:.15}
.camleaf-chart .cycles{fill:currentColor;fill-opacity:.35}
.camleaf-chart .waits{stroke:none;fill:currentColor;fill-opacity:.1}
.camleaf-chart path.pause{stroke-width:2.4;opacity:1}
.camleaf-chart .side{fill:var(--camleaf-paper,var(--vscode-editor-background,Canvas));font-weight:700}
.camleaf-chart .column{fill:transparent;stroke:none}
.camleaf-chart .column.chosen{stroke:var(--camleaf-chosen,currentColor);stroke-width:2.5}
.camleaf-chart .title{font-size:14px;font-weight:700}
.camleaf-chart .name,.camleaf-chart .group{font-weight:600}`;

/** `styled: false` leaves the style element out: the page brings `chartStyle` itself. `at`: the column of a state to mark. */
export function timerChartSvg(chart: TimerChart, { styled = true, at: marked = -1 } = {}): string {
  const { groups, steps, rows, moves, conditions, title } = chart;
  const left = 24 + Math.max(60, ...rows.map(({ name }) => textWidth(name) * 1.1)) + 10;
  // Wide enough that the name of each group fits over its steps.
  const step = Math.max(20, ...groups.map(({ name, from, to }) => (textWidth(name) * 1.1 + 8) / (to - from)));
  const contacts = rows.filter(({ of }) => of === "contact").length;
  const rowY = (row: number) => HEAD + row * ROW + (row >= contacts ? 12 : 0);
  const bottom = rowY(rows.length) + 6;
  const at = (n: number) => px(left + n * step);
  const moving = movingRuns(moves, conditions);
  const movesRow = moving.length > 0 ? ROW : 0;
  const notes = [
    rows.length > contacts
      ? "Solid: in every state of the step with the supply on. Dashed: in some, depending on the other controls. Start windings are left out."
      : "",
    moving.some(({ move }) => move === "never")
      ? "Two strokes on a tinted step: the timer waits there until a hand turns it."
      : "",
    ...new Map(moving.flatMap(({ letter, words }) => (words === "" ? [] : [[letter, words] as const]))),
  ]
    .flatMap((note) =>
      typeof note === "string"
        ? note === ""
          ? []
          : [note]
        : [`${note[0]}: the timer moves on when ${note[1]}, and waits until then.`],
    )
    .flatMap((note) => lines(note, Math.max(100, Math.floor((left + steps * step) / 6.9))));
  const width = Math.max(
    left + steps * step + 24,
    ...notes.map((note) => 48 + textWidth(note)),
    48 + textWidth(title) * 1.35,
  );
  const height = bottom + movesRow + 16 + notes.length * 16 + 12;
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" class="camleaf-chart" width="${px(width)}" height="${px(height)}" viewBox="0 0 ${px(width)} ${px(height)}" role="img" aria-label="${escapeText(`Timer chart of ${title}`)}">`,
    ...(styled ? [`<style>${chartStyle}\n</style>`] : []),
    `<text class="title" x="24" y="22">${escapeText(title)}</text>`,
  ];
  for (let n = 0; n <= steps; n++) {
    const edge = n === steps || groups.some(({ from }) => from === n);
    parts.push(`<path${edge ? ' class="edge"' : ""} d="M${at(n)} ${edge ? HEAD - 24 : HEAD - 10}V${px(bottom)}"/>`);
  }
  for (const { name, from, to } of groups) {
    parts.push(
      `<text class="group" x="${at((from + to) / 2)}" y="${HEAD - 14}" text-anchor="middle">${escapeText(name)}</text>`,
    );
  }
  rows.forEach(({ name, of, bars }, row) => {
    const y = rowY(row);
    parts.push(`<text class="name" x="24" y="${px(y + 16)}">${escapeText(name)}</text>`);
    for (const { from, to, how, side } of bars) {
      parts.push(
        `<rect class="${of} ${how}" x="${at(from)}" y="${px(y + 5)}" width="${px((to - from) * step)}" height="${ROW - 10}"/>`,
      );
      if (side !== undefined)
        parts.push(
          `<text class="side" x="${at((from + to) / 2)}" y="${px(y + 16)}" text-anchor="middle">${escapeText(side)}</text>`,
        );
    }
  });
  let y = bottom;
  for (const { from, to, move, letter } of moving) {
    if (move === "never") {
      // Tinted, and with the two strokes of a pause: seen without reading, and without colour.
      const middle = left + ((from + to) / 2) * step;
      parts.push(
        `<rect class="waits" x="${at(from)}" y="${HEAD - 10}" width="${px((to - from) * step)}" height="${px(bottom + movesRow - HEAD + 6)}"/>`,
        `<path class="pause" d="M${px(middle - 3)} ${px(y + 7)}v10M${px(middle + 3)} ${px(y + 7)}v10"/>`,
      );
      continue;
    }
    parts.push(
      `<rect class="load ${move}" x="${at(from)}" y="${px(y + 5)}" width="${px((to - from) * step)}" height="${ROW - 10}"/>`,
    );
    if (letter !== "")
      parts.push(`<text x="${at((from + to) / 2)}" y="${px(y + 16)}" text-anchor="middle">${letter}</text>`);
  }
  if (moving.length > 0) parts.push(`<text class="name" x="24" y="${px(y + 16)}">moves on</text>`);
  y += movesRow + 16;
  for (const note of notes) {
    parts.push(`<text class="note" x="24" y="${px(y)}">${escapeText(note)}</text>`);
    y += 16;
  }
  // Columns last, so that they take the clicks.
  for (let n = 0; n < steps; n++)
    parts.push(
      `<rect class="column${n === marked ? " chosen" : ""}" data-step="${n}" x="${at(n)}" y="${HEAD - 10}" width="${px(step)}" height="${px(bottom - HEAD + 10)}"><title>${escapeText(`${chart.control} ${chart.positions[n] ?? ""}`)}</title></rect>`,
    );
  parts.push("</svg>", "");
  return parts.join("\n");
}
