/** `camleaf drawing FILE` and `camleaf chart FILE`: pictures as SVG, printed or written to a file, or as PNG. */
import { writeFile } from "node:fs/promises";
import { drawnThings, marksOf } from "../editor/drawn-things.ts";
import { chartOf } from "../editor/pictures.ts";
import type { FileView, MachineView } from "../editor/view.ts";
import type { Machine } from "../machine/machine.ts";
import { drawCircuit, drawnSections, type LiveState, type Section } from "../pictures/drawing.ts";
import { drawingSvg } from "../pictures/drawing-svg.ts";
import type { SymbolSet } from "../pictures/symbols.ts";
import { timerChartSvg } from "../pictures/timer-chart.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { numberedName, wordedName } from "./numbered-name.ts";
import { CannotRasterise, writePng } from "./rasterise.ts";
import { conditionOf } from "./solve-command.ts";

interface Picture {
  readonly svg: string;
  /** Goes into the name of its file. */
  readonly word?: string;
}

/** A reason, in plain words, why there is no picture, with the exit code. */
class NoPicture extends Error {
  constructor(
    message: string,
    readonly exit: 1 | 2,
  ) {
    super(message);
  }
}

export interface DrawingChoice {
  /** What must hold in the state to show; left out: at rest. */
  readonly when?: string;
  /** A sheet for each section. */
  readonly sections?: boolean;
  /** Word or number of one section. */
  readonly section?: string;
  readonly symbols?: SymbolSet;
  readonly wireColours?: boolean;
  readonly out?: string;
}

/** Exit code: 0 when drawn, 1 when no such state can be reached, 2 when something cannot be read or written. */
export function drawing(file: string, choice: DrawingChoice, output: Output): Promise<number> {
  const { when, out } = choice;
  return pictures(file, out, output, (view, of) => {
    const { machine, engine } = of;
    const sheets = sheetsOf(machine, choice);
    const { symbols = "iec", wireColours = true } = choice;
    const look = { symbols, wireColours, marks: marksOf(drawnThings(view, of)) };
    const draw = (live?: LiveState) =>
      sheets.map((sheet) => ({
        svg: drawingSvg(drawCircuit(machine, live, { ...look, ...(sheet ? { section: sheet.number } : {}) })),
        // Several sheets of one machine are told apart by what is on them.
        ...(choice.sections && sheet ? { word: sheet.key } : {}),
      }));
    if (when === undefined) return draw();
    const condition = conditionOf(machine, when);
    if (typeof condition === "string") throw new NoPicture(condition, 2);
    const state = engine?.witness(engine.and(engine.all(), engine.where(condition)));
    if (!engine || !state)
      throw new NoPicture(`${machine.label}: no state that the machine can reach has ${when || "anything"}.`, 1);
    return draw({ state, solution: engine.solve(state) });
  });
}

/** The sections asked for; `[undefined]` is the whole machine. */
function sheetsOf(machine: Machine, { sections: all, section }: DrawingChoice): readonly (Section | undefined)[] {
  if (!all && section === undefined) return [undefined];
  const { sections } = drawnSections(machine);
  if (section === undefined) return sections;
  const found = sections.find(({ key, number }) => key === section.toLowerCase() || String(number) === section);
  if (found) return [found];
  const known = sections.map(({ number, key }) => `${number} ${key}`).join(", ");
  throw new NoPicture(`${machine.label}: no section is called ${section}; there are ${known}`, 2);
}

/** Exit code: 0 when drawn, 2 when there is no timer or something cannot be read or written. */
export function chart(file: string, out: string | undefined, output: Output): Promise<number> {
  return pictures(file, out, output, (_, of) =>
    of.machine.programs.map((program) => ({ svg: timerChartSvg(chartOf(of, program)) })),
  );
}

async function pictures(
  file: string,
  out: string | undefined,
  output: Output,
  draw: (view: FileView, of: MachineView) => readonly Picture[],
): Promise<number> {
  try {
    const { snapshot } = await analyseFile(file);
    const { machines } = snapshot;
    if (machines.length === 0) throw new NoPicture(`${file}: no machine is written in it`, 2);
    const drawn = machines.flatMap((machine, of) => draw(snapshot, machine).map((picture) => ({ ...picture, of })));
    if (drawn.length === 0) throw new NoPicture(`${file}: no timer with a chart is written in it`, 2);
    if (out === undefined) {
      if (drawn.length > 1) throw new NoPicture(`${file}: ${drawn.length} pictures; name a file with --out`, 2);
      output.line(drawn[0]!.svg.trimEnd());
      return 0;
    }
    for (const [i, { svg, word, of }] of drawn.entries()) {
      const name = word === undefined ? numberedName(out, i) : wordedName(numberedName(out, of), word);
      if (/\.png$/i.test(name)) await writePng(svg, name);
      else
        await writeFile(name, svg).catch((error: Error) => {
          throw new NoPicture(`${name}: cannot be written (${error.message})`, 2);
        });
    }
    return 0;
  } catch (error) {
    if (!(error instanceof CannotRead || error instanceof NoPicture || error instanceof CannotRasterise)) throw error;
    output.complaint(error.message);
    return error instanceof NoPicture ? error.exit : 2;
  }
}
