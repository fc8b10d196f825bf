/** Drawing and charts of one machine for the views, with what connects them to the text. */
import { solveState } from "../circuit/solve.ts";
import type { MachineState, TimerProgram } from "../machine/machine.ts";
import { type DrawingOptions, drawCircuit, drawnSections } from "../pictures/drawing.ts";
import { drawingStyle, drawingSvg } from "../pictures/drawing-svg.ts";
import { nameOf } from "../pictures/drawn-values.ts";
import { chartStyle, type TimerChart, timerChart, timerChartSvg } from "../pictures/timer-chart.ts";
import type { Engine } from "../states/engine.ts";
import { drawnThings, marksOf } from "./drawn-things.ts";
import type { FileView, MachineView } from "./view.ts";

/** What the reader's settings say about drawings. */
export type DrawingLook = Pick<DrawingOptions, "symbols" | "wireColours">;

/**
 * Without a state the machine is drawn at rest, with plate values. `section`: number of the one to draw, from 1, or 0 for the
 * whole; left out, the whole unless it is too high to be read at a glance. `alone`: nothing beside it lists the findings.
 */
export function drawingOf(
  view: FileView,
  of: MachineView,
  state?: MachineState,
  { section, alone = false, ...look }: DrawingLook & { readonly section?: number; readonly alone?: boolean } = {},
) {
  const { machine, circuit, engine } = of;
  // One state is solved without the analysis of all, so a drawing keeps up with typing.
  const solution = state && (engine ? engine.solve(state) : solveState(circuit, state));
  const live = state && solution ? { state, solution } : undefined;
  const things = drawnThings(view, of);
  const { big, sections } = drawnSections(machine);
  const options = { ...look, marks: marksOf(things), legend: alone };
  const shown = sections.find(({ number }) => number === (section ?? (big ? 1 : 0)));
  const picture = drawCircuit(machine, live, { ...options, ...(shown ? { section: shown.number } : {}) });
  return {
    live: live !== undefined,
    svg: drawingSvg(picture, { styled: false }),
    style: drawingStyle,
    things,
    big,
    ...(shown ? { section: shown.number } : {}),
    sections: sections.map(({ number, title, pieces }) => ({
      number,
      title,
      names: pieces.map((piece) => nameOf(machine, piece)),
    })),
  };
}

export { chartStyle };

/** Charts say the same for as long as their engine lives; another state only frames another column. */
const charts = new WeakMap<Engine, Map<TimerProgram, TimerChart>>();

/** One timer's chart, with what its steps wait for told in words. */
export function chartOf({ machine, engine }: MachineView, program: TimerProgram): TimerChart {
  if (!engine) return timerChart(machine, program);
  const known = charts.get(engine) ?? new Map<TimerProgram, TimerChart>();
  charts.set(engine, known);
  const made = known.get(program) ?? timerChart(machine, program, engine);
  known.set(program, made);
  return made;
}

export function chartsOf(view: MachineView, state?: MachineState) {
  return view.machine.programs.map((program) => {
    const drawn = chartOf(view, program);
    const at = state?.[program.control];
    return {
      control: drawn.control,
      positions: drawn.positions,
      ...(at === undefined ? {} : { at }),
      svg: timerChartSvg(drawn, { styled: false, ...(at === undefined ? {} : { at }) }),
    };
  });
}
