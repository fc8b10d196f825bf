/** `camleaf drawing FILE` and `camleaf chart FILE`: pictures as SVG, printed or written to a file. */
import { writeFile } from "node:fs/promises";
import type { MachineView } from "../editor/view.ts";
import { drawCircuit } from "../pictures/drawing.ts";
import { drawingSvg } from "../pictures/drawing-svg.ts";
import { timerChart, timerChartSvg } from "../pictures/timer-chart.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { numberedName } from "./numbered-name.ts";
import { conditionOf } from "./solve-command.ts";

/** A reason, in plain words, why there is no picture, with the exit code. */
class NoPicture extends Error {
  constructor(
    message: string,
    readonly exit: 1 | 2,
  ) {
    super(message);
  }
}

/** Exit code: 0 when drawn, 1 when no such state can be reached, 2 when something cannot be read or written. */
export function drawing(
  file: string,
  when: string | undefined,
  out: string | undefined,
  output: Output,
): Promise<number> {
  return pictures(file, out, output, ({ machine, engine }) => {
    if (when === undefined) return [drawingSvg(drawCircuit(machine))];
    const condition = conditionOf(machine, when);
    if (typeof condition === "string") throw new NoPicture(condition, 2);
    const state = engine?.witness(engine.and(engine.all(), engine.where(condition)));
    if (!engine || !state)
      throw new NoPicture(`${machine.label}: no state that the machine can reach has ${when || "anything"}.`, 1);
    return [drawingSvg(drawCircuit(machine, { state, solution: engine.solve(state) }))];
  });
}

/** Exit code: 0 when drawn, 2 when there is no timer or something cannot be read or written. */
export function chart(file: string, out: string | undefined, output: Output): Promise<number> {
  return pictures(file, out, output, ({ machine, engine }) =>
    machine.programs.map((program) => timerChartSvg(timerChart(machine, program, engine))),
  );
}

async function pictures(
  file: string,
  out: string | undefined,
  output: Output,
  draw: (view: MachineView) => string[],
): Promise<number> {
  try {
    const { machines } = (await analyseFile(file)).snapshot;
    if (machines.length === 0) throw new NoPicture(`${file}: no machine is written in it`, 2);
    const drawn = machines.flatMap(draw);
    if (drawn.length === 0) throw new NoPicture(`${file}: no timer with a chart is written in it`, 2);
    if (out === undefined) {
      if (drawn.length > 1) throw new NoPicture(`${file}: ${drawn.length} pictures; name a file with --out`, 2);
      output.line(drawn[0]!.trimEnd());
      return 0;
    }
    for (const [i, svg] of drawn.entries()) {
      const name = numberedName(out, i);
      await writeFile(name, svg).catch((error: Error) => {
        throw new NoPicture(`${name}: cannot be written (${error.message})`, 2);
      });
    }
    return 0;
  } catch (error) {
    if (!(error instanceof CannotRead || error instanceof NoPicture)) throw error;
    output.complaint(error.message);
    return error instanceof NoPicture ? error.exit : 2;
  }
}
