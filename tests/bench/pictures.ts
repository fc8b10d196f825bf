/** How long a drawing takes: a text just opened, and one in which a person types. Everything a view asks for is counted. */
import { drawingOf } from "../../server/editor/pictures.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service, type Snapshot } from "../../server/service.ts";
import { median } from "./states.ts";
import type { BenchText } from "./texts.ts";

/** Milliseconds, medians. */
export interface PictureTiming {
  /** From opening a text never seen before to its drawing at rest. */
  readonly atRest: number;
  /** From opening to the drawing of the chosen state, every state of the machine worked out. */
  readonly live: number;
  /** From a keystroke to the new drawing of the chosen state. */
  readonly afterKey: number;
  /** Of that, the drawing itself: the longest that another question has to wait for it. */
  readonly drawing: number;
}

const file = "bench.camleaf";

/** @param runs how often; the first, which warms the code up, is left out when there are more. */
export async function benchPictures({ text }: BenchText, runs: number): Promise<PictureTiming> {
  const timings: PictureTiming[] = [];
  for (let run = 0; run < runs; run++) {
    const service = new Service(nodePlatform);
    const { from, to } = middleNumber(text);
    const machine = (snapshot: Snapshot) => {
      return snapshot.machines.find(({ machine: { place } }) => place.from <= from && from <= place.to)!;
    };
    const live = (snapshot: Snapshot) => {
      const view = machine(snapshot);
      const begin = performance.now();
      const state = service.chosen.stateOf(file, view) ?? service.chosen.likely(file, view);
      const { svg } = drawingOf(snapshot, view, state);
      if (!svg.includes('class="carries"')) throw new Error("nothing carries current in the drawing");
      return performance.now() - begin;
    };
    const opened = performance.now();
    service.put(file, 1, text);
    service.atOnce(file, (snapshot) => drawingOf(snapshot, machine(snapshot)));
    const atRest = performance.now() - opened;
    live((await service.workspace.reached("states", file))!);
    const first = performance.now() - opened;
    await service.analysed(file);
    const typed = performance.now();
    service.put(file, 2, `${text.slice(0, from)}${Number(text.slice(from, to)) + 1 + run}${text.slice(to)}`);
    // The state shown last, solved anew in the edited text: nothing waits for every state.
    const drawing = service.atOnce(file, live)!;
    timings.push({ atRest, live: first, afterKey: performance.now() - typed, drawing });
    service.close(file);
  }
  const warm = timings.slice(runs > 1 ? 1 : 0);
  const of = (read: (timing: PictureTiming) => number) => median(warm.map(read));
  return {
    atRest: of((t) => t.atRest),
    live: of((t) => t.live),
    afterKey: of((t) => t.afterKey),
    drawing: of((t) => t.drawing),
  };
}

/** Amps written nearest to the middle: where the bench types. */
function middleNumber(text: string): { readonly from: number; readonly to: number } {
  const all = [...text.matchAll(/(?<= )\d+(?= A )/g)];
  const found = all.sort((a, b) => Math.abs(a.index - text.length / 2) - Math.abs(b.index - text.length / 2))[0];
  if (!found) throw new Error("no amps to edit in this text");
  return { from: found.index, to: found.index + found[0].length };
}
