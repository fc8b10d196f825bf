/** Expectations over the protocol: which there are, and on request what became of each. */
import { expectationsOf } from "../editor/expectations.ts";
import { type ExpectationsParams, type ExpectationsResult, expectations } from "../protocol.ts";
import type { Snapshot } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerExpectations({ connection, service, positions, log }: FeatureContext): void {
  connection.onRequest(
    expectations,
    guarded<ExpectationsParams, ExpectationsResult | null>(log, "expectations", null, async ({ uri, judge }) => {
      const list = (snapshot: Snapshot): ExpectationsResult => ({
        version: snapshot.version,
        machines: snapshot.machines.map(({ machine }) => machine.label),
        expectations: expectationsOf(snapshot, judge).map(({ place, ...rest }) => ({
          ...rest,
          range: positions.range(snapshot.text, place),
        })),
      });
      // A proof is waited for, however long the states take.
      const answer = judge ? await service.afterStates(uri, list) : service.atOnce(uri, list);
      return answer ?? null;
    }),
  );
}
