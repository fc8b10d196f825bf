/** The chosen state over the protocol: reading it, wishing another one, and telling who shows numbers that it changed. */

import { machineIndexAt } from "../editor/view.ts";
import {
  type ChosenStateChanged,
  type ChosenStateParams,
  type ChosenStateResult,
  chosenState,
  chosenStateChanged,
  type MachineParams,
} from "../protocol.ts";
import type { Snapshot } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";
import type { Positions } from "./positions.ts";

/** By index, else the machine around the caret, else the first; undefined when the file holds none. */
export function machineIndex(
  snapshot: Snapshot,
  { machine, at }: MachineParams,
  positions: Positions,
): number | undefined {
  const { machines, text } = snapshot;
  if (machine !== undefined && machines[machine]) return machine;
  return machines.length > 0 ? machineIndexAt(snapshot, at ? positions.offset(text, at) : 0) : undefined;
}

export function registerChosenState({ connection, service, positions, log, told }: FeatureContext): void {
  connection.onRequest(
    chosenState,
    guarded<ChosenStateParams, ChosenStateResult>(log, "chosen state", null, async (params) => {
      const answer = await service.withNumbers(params.uri, (snapshot) => {
        const index = machineIndex(snapshot, params, positions);
        return index === undefined ? null : (service.chosen.read(snapshot, index, params.wish) ?? null);
      });
      if (answer?.ready && params.wish && answer.refused === undefined) {
        const changed: ChosenStateChanged = { uri: params.uri, machine: answer.index };
        if (told.chosenStateChanged) void connection.sendNotification(chosenStateChanged, changed);
        if (told.hintRefresh) void connection.languages.inlayHint.refresh();
      }
      return answer ?? null;
    }),
  );
}
