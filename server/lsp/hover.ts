import type { Hover } from "vscode-languageserver";
import { hover } from "../editor/hover.ts";
import { atPosition, type FeatureContext } from "./features.ts";

export function registerHover(context: FeatureContext): void {
  context.connection.onHover(
    atPosition(context, "hover", "numbers", (snapshot, offset): Hover | undefined => {
      const found = hover(snapshot, offset, (machine) => context.service.chosen.stateOf(snapshot.file, machine));
      return (
        found && {
          contents: { kind: "markdown", value: found.markdown },
          range: context.positions.range(snapshot.text, found),
        }
      );
    }),
  );
}
