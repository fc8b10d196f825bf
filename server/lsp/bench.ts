/** The bench over the protocol: suspects and the next reading, a block to begin with, readings between two points. */
import { benchOf, newBench, readingsIn } from "../editor/bench.ts";
import { machineAt } from "../editor/view.ts";
import {
  type BenchParams,
  type BenchResult,
  bench,
  type ReadingsParams,
  type ReadingsResult,
  readings,
} from "../protocol.ts";
import type { Snapshot } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerBench({ connection, service, positions, log, told }: FeatureContext): void {
  connection.onRequest(
    bench,
    guarded<BenchParams, BenchResult | null>(log, "bench", null, async (params) => {
      const snapshot: Snapshot | undefined = await service.analysed(params.uri);
      if (!snapshot) return null;
      const { text, version } = snapshot;
      const offset = params.at ? positions.offset(text, params.at) : 0;
      const answer = benchOf(snapshot, params.block, offset, told.drawing);
      const place = (at: number) => positions.range(text, { from: at, to: at }).start;
      if (!answer) {
        const machine = machineAt(snapshot, offset);
        if (!machine) return null;
        const at = machine.machine.place.to;
        const state = service.chosen.stateOf(snapshot.file, machine);
        return { version, blocks: [], start: { at: place(at), text: newBench(machine, state) } };
      }
      const { report, blocks, index, from, to, inserts, drawing } = answer;
      return {
        version,
        blocks,
        block: index,
        report,
        drawing,
        range: positions.range(text, { from, to }),
        inserts: inserts.map(({ at, indent }) => ({ at: place(at), indent })),
      };
    }),
  );

  connection.onRequest(
    readings,
    guarded<ReadingsParams, ReadingsResult | null>(log, "readings", null, async ({ uri, range, points }) => {
      const answer = await service.withNumbers(uri, (snapshot): ReadingsResult | null => {
        const [from, to] = [positions.offset(snapshot.text, range.start), positions.offset(snapshot.text, range.end)];
        const machine = machineAt(snapshot, from);
        const state = machine && service.chosen.stateOf(snapshot.file, machine);
        return machine ? (readingsIn(machine, points ?? snapshot.text.slice(from, to), state) ?? null) : null;
      });
      return answer ?? null;
    }),
  );
}
