import type { InlayHint, InlayHintParams } from "vscode-languageserver";
import { hints } from "../editor/hints.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerHints({ connection, service, positions, log }: FeatureContext): void {
  connection.languages.inlayHint.on(
    guarded<InlayHintParams, InlayHint[] | null>(log, "hints", null, async ({ textDocument, range }) => {
      const answer = await service.withNumbers(textDocument.uri, (snapshot) => {
        const { text } = snapshot;
        return hints(snapshot, positions.offset(text, range.start), positions.offset(text, range.end)).map((hint) => ({
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
