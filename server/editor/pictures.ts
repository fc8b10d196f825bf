/** Drawing and charts of one machine for the views, with what connects them to the text. */
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { solveState } from "../circuit/solve.ts";
import type { MachineState } from "../machine/machine.ts";
import { drawCircuit } from "../pictures/drawing.ts";
import { drawingStyle, drawingSvg } from "../pictures/drawing-svg.ts";
import { chartStyle, timerChart, timerChartSvg } from "../pictures/timer-chart.ts";
import type { FileView, MachineView } from "./view.ts";

export interface DrawnThing {
  /** As the drawing names it. */
  readonly name: string;
  readonly words: string;
  readonly place: Place;
  readonly whole: Place;
  readonly findings: readonly Finding[];
}

/** Without a state the machine is drawn at rest, with plate values. */
export function drawingOf(view: FileView, { machine, circuit, engine }: MachineView, state?: MachineState) {
  // One state is solved without the analysis of all, so a drawing keeps up with typing.
  const solution = state && (engine ? engine.solve(state) : solveState(circuit, state));
  const live = state && solution ? { state, solution } : undefined;
  const picture = drawCircuit(machine, live);
  const seen = new Set<string>();
  const things: DrawnThing[] = [];
  for (const { piece, name } of picture.symbols) {
    if (seen.has(name)) continue;
    seen.add(name);
    const { what } = piece;
    const contact = what.of === "contact" ? machine.contacts[what.contact] : undefined;
    const load = what.of === "load" ? machine.loads[what.load] : undefined;
    const part =
      machine.parts[
        contact?.part ?? load?.part ?? (what.of === "transformer" ? machine.transformers[what.transformer]!.part : 0)
      ]!;
    const own = contact ?? load;
    const alone = part.contacts.length + part.loads.length === 1;
    const place = own && !alone && !sameFirst(own.place, part.place) ? own.place : part.namePlace;
    const whole = own && !alone ? own.place : part.place;
    things.push({
      name,
      words: part.label ? `${name}, ${part.label}` : name,
      place,
      whole,
      findings: view.findings.filter((finding) => about(finding, whole, part.namePlace)),
    });
  }
  return { live: live !== undefined, svg: drawingSvg(picture, { styled: false }), style: drawingStyle, things };
}

function sameFirst(a: Place, b: Place): boolean {
  return a.file === b.file && a.from === b.from;
}

/** The finding points at the thing itself, or at its part's name. */
function about({ place }: Finding, whole: Place, name: Place): boolean {
  const inside = (outer: Place) => place.file === outer.file && outer.from <= place.from && place.to <= outer.to;
  return inside(whole) || inside(name);
}

export { chartStyle };

export function chartsOf({ machine, engine }: MachineView, state?: MachineState) {
  return machine.programs.map((program) => {
    const drawn = timerChart(machine, program, engine);
    const at = state?.[program.control];
    return {
      control: drawn.control,
      positions: drawn.positions,
      ...(at === undefined ? {} : { at }),
      svg: timerChartSvg(drawn, { styled: false, ...(at === undefined ? {} : { at }) }),
    };
  });
}
