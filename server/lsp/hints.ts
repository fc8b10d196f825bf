import type { InlayHint, InlayHintParams } from "vscode-languageserver";
import { hints } from "../editor/hints.ts";
import type { MachineView } from "../editor/view.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerHints({ connection, service, positions, log, told }: FeatureContext): void {
  connection.languages.inlayHint.on(
    guarded<InlayHintParams, InlayHint[] | null>(log, "hints", null, async ({ textDocument, range }) => {
      const answer = await service.withNumbers(textDocument.uri, (snapshot) => {
        const { text } = snapshot;
        if (told.hints === "off") return [];
        const chosen = (machine: MachineView) =>
          told.hints === "state" || (told.hints === "follow" && service.chosen.wasChosen(snapshot.file, machine))
            ? service.chosen.stateOf(snapshot.file, machine)
            : undefined;
        const from = positions.offset(text, range.start);
        return hints(snapshot, from, positions.offset(text, range.end), chosen).map((hint) => ({
          position: positions.of(text).positionAt(hint.offset),
          label: hint.text,
          tooltip: hint.tooltip,
          paddingLeft: true,
        }));
      });
      return answer ?? null;
    }),
  );
}
