/** A write-up of one machine of a file, from what the editor's own readouts say. */
import { boundsInWords } from "../checks/unproved.ts";
import { partReadings } from "../meter/readings.ts";
import { drawCircuit, drawnSections } from "../pictures/drawing.ts";
import { drawingSvg } from "../pictures/drawing-svg.ts";
import { timerChartSvg } from "../pictures/timer-chart.ts";
import { type WriteUpFormat, writeUpText } from "../writeup/write-up.ts";
import { benchReportOf } from "./bench.ts";
import { contactReadout } from "./contact-readout.ts";
import { drawnThings, marksOf, numberedFindings } from "./drawn-things.ts";
import { expectationsOf } from "./expectations.ts";
import { chartOf, type DrawingLook } from "./pictures.ts";
import { loadReadout } from "./readout.ts";
import type { FileView, MachineView } from "./view.ts";

export interface WriteUpOptions extends DrawingLook {
  readonly format?: WriteUpFormat;
}

/** `fileName` is the bare name that the text is saved under again. `photos`: `data:` addresses by the path as a note writes it. */
export function writeUp(
  view: FileView,
  of: MachineView,
  fileName: string,
  photos: ReadonlyMap<string, string> = new Map(),
  { format = "html", ...look }: WriteUpOptions = {},
): string {
  const { machine, engine } = of;
  const lineOf = (offset: number) => view.text.slice(0, offset).split("\n").length;
  return writeUpText(
    {
      machine,
      fileName,
      photos,
      source: view.text,
      drawings: writtenDrawings(view, of, look),
      charts: machine.programs.flatMap((program) => {
        const drawn = chartOf(of, program);
        return [{ svg: timerChartSvg(drawn), words: `Timer chart of ${drawn.title}` }];
      }),
      loads: machine.loads.map(({ id }) => loadReadout(of, id)),
      contacts: machine.contacts.map(({ id }) => contactReadout(of, id)),
      benches: (view.benches ?? []).flatMap((bench) =>
        bench.engine.circuit.machine === machine ? [benchReportOf(view, bench)] : [],
      ),
      proposals: (view.proposals ?? []).flatMap(({ base, statement, comparison }) =>
        base === machine
          ? [
              {
                label: statement.label?.text ?? "proposal",
                text: view.text.slice(statement.from, statement.to),
                ...(comparison.verdict ? { verdict: comparison.verdict } : {}),
                ...(comparison.fits ? { fits: comparison.fits } : {}),
              },
            ]
          : [],
      ),
      expectations: expectationsOf(view, true).flatMap(({ machine: index, words, judged }) =>
        view.machines[index] === of && judged
          ? [
              {
                text: `expect ${words}`,
                words:
                  judged.proof === "holds"
                    ? "Holds in every state that the machine can reach."
                    : `Does not hold, or is not proved: ${judged.words}`,
                ...(judged.state === undefined ? {} : { state: judged.state }),
              },
            ]
          : [],
      ),
      tests: machine.parts.flatMap(({ id }) => partReadings(of.circuit, id)),
      findings: numberedFindings(view, machine),
      lineOf: ({ place }) => lineOf(place.from),
      missing: [
        ...(engine?.covered().missing ?? ["the every-state analysis was not finished"]),
        ...(view.looked?.missing ?? []),
        ...[engine && boundsInWords(engine)].filter((sentence) => sentence !== undefined),
      ],
      looked: view.looked?.at ?? [],
    },
    format,
  );
}

/** One sheet, or one for each section where the whole would be too high for a page. Words of findings stand in their own list. */
function writtenDrawings(view: FileView, of: MachineView, look: DrawingLook) {
  const options = { ...look, marks: marksOf(drawnThings(view, of)), legend: false };
  const { big, sections } = drawnSections(of.machine);
  const sheets = big ? sections.map(({ number }) => ({ ...options, section: number })) : [options];
  return sheets.map((sheet) => {
    const drawing = drawCircuit(of.machine, undefined, sheet);
    return { svg: drawingSvg(drawing), words: `Circuit drawing of ${drawing.title}` };
  });
}
