import type { CancellationToken, Connection, TextDocumentPositionParams } from "vscode-languageserver";
import type { DrawingLook } from "../editor/pictures.ts";
import type { Service, Snapshot } from "../service.ts";
import { registerActions } from "./actions.ts";
import { registerBench } from "./bench.ts";
import { registerChosenState } from "./chosen-state.ts";
import { registerColouring } from "./colouring.ts";
import { registerComparison } from "./comparison.ts";
import { registerCompletion } from "./completion.ts";
import { registerExpectations } from "./expectations.ts";
import { registerFeeds } from "./feeds.ts";
import { registerFormatting } from "./formatting.ts";
import { guarded } from "./guard.ts";
import { registerHints } from "./hints.ts";
import { registerHover } from "./hover.ts";
import { registerLenses } from "./lenses.ts";
import { registerNames } from "./names.ts";
import { registerPictures } from "./pictures.ts";
import { registerPlaces } from "./places.ts";
import type { Positions } from "./positions.ts";
import { registerShape } from "./shape.ts";

export interface FeatureContext {
  readonly connection: Connection;
  readonly service: Service;
  readonly positions: Positions;
  readonly log: (line: string) => void;
  /** What the client wants to be told; filled in by its initialization, so read it when it is needed. */
  readonly told: Told;
}

export interface Told {
  chosenStateChanged: boolean;
  /** It can be asked to fetch its hints again. */
  hintRefresh: boolean;
  /** It fills in the places of a snippet. */
  snippets: boolean;
  /** Which numbers hints show: those of the chosen state once there is one, or one kind always. */
  hints: "follow" | "worst" | "state" | "off";
  lensRefresh: boolean;
  /** Lines above loads and contacts are wanted. */
  codeLens: boolean;
  /** Symbols and wire colours of drawings. */
  drawing: DrawingLook;
  /** It has the command that shows a proposal beside its machine. */
  compares: boolean;
}

type AtPosition<Answer> = (snapshot: Snapshot, offset: number) => Answer | null | undefined;

/**
 * A guarded handler for a request about one place in a text. `numbers`: the answer tells calculated values, so it waits a
 * moment for the every-state analysis. The snapshot is the newest text, and the offset counts in it.
 */
export function atPosition<Answer>(
  { service, positions, log }: FeatureContext,
  name: string,
  needs: "names" | "numbers",
  answer: AtPosition<Answer>,
) {
  return guarded<TextDocumentPositionParams, Answer | null>(
    log,
    name,
    null,
    async ({ textDocument, position }, token: CancellationToken) => {
      const reply = (snapshot: Snapshot) =>
        token.isCancellationRequested ? null : answer(snapshot, positions.offset(snapshot.text, position));
      const { uri } = textDocument;
      return (needs === "names" ? service.atOnce(uri, reply) : await service.withNumbers(uri, reply)) ?? null;
    },
  );
}

/** One line per feature; what stands here stands in capabilities.ts too. */
export function registerFeatures(context: FeatureContext): void {
  registerHover(context);
  registerNames(context);
  registerShape(context);
  registerActions(context);
  registerHints(context);
  registerLenses(context);
  registerFeeds(context);
  registerFormatting(context);
  registerChosenState(context);
  registerPictures(context);
  registerBench(context);
  registerComparison(context);
  registerCompletion(context);
  registerColouring(context);
  registerPlaces(context);
  registerExpectations(context);
}
