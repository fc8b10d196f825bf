/** Semantic tokens, whole, by range and as a difference; colour swatches of wires. */
import {
  type ColorInformation,
  type ColorPresentation,
  type ColorPresentationParams,
  type DocumentColorParams,
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensDelta,
  type SemanticTokensDeltaParams,
  type SemanticTokensParams,
  type SemanticTokensRangeParams,
} from "vscode-languageserver";
import { codesFor, swatches } from "../editor/colours.ts";
import { type SemanticToken, semanticTokens, tokenModifiers, tokenTypes } from "../editor/semantic-tokens.ts";
import type { Snapshot } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

const none: SemanticTokens = { data: [] };

export function registerColouring({ connection, service, positions, log }: FeatureContext): void {
  /** One per document: it remembers what was sent last. */
  const builders = new Map<string, SemanticTokensBuilder>();
  const push = (builder: SemanticTokensBuilder, { text }: Snapshot, tokens: readonly SemanticToken[]) => {
    const document = positions.of(text);
    for (const { from, to, type, modifiers } of tokens) {
      const { line, character } = document.positionAt(from);
      const bits = modifiers.reduce((all, one) => all | (1 << tokenModifiers.indexOf(one)), 0);
      builder.push(line, character, to - from, tokenTypes.indexOf(type), bits);
    }
  };
  const fresh = (uri: string) => {
    const builder = new SemanticTokensBuilder();
    // A closed document is not told here; a few dozen last answers are all that is worth keeping.
    if (builders.size > 50) builders.delete(builders.keys().next().value!);
    builders.delete(uri);
    builders.set(uri, builder);
    return builder;
  };

  connection.languages.semanticTokens.on(
    guarded<SemanticTokensParams, SemanticTokens>(log, "semantic tokens", none, ({ textDocument: { uri } }) => {
      const answer = (snapshot: Snapshot) => {
        const builder = fresh(uri);
        push(builder, snapshot, semanticTokens(snapshot));
        return builder.build();
      };
      return service.atOnce(uri, answer) ?? none;
    }),
  );
  connection.languages.semanticTokens.onDelta(
    guarded<SemanticTokensDeltaParams, SemanticTokens | SemanticTokensDelta>(
      log,
      "semantic tokens",
      none,
      ({ textDocument: { uri }, previousResultId }) => {
        const answer = (snapshot: Snapshot) => {
          const builder = builders.get(uri) ?? fresh(uri);
          builder.previousResult(previousResultId);
          push(builder, snapshot, semanticTokens(snapshot));
          return builder.buildEdits();
        };
        return service.atOnce(uri, answer) ?? none;
      },
    ),
  );
  connection.languages.semanticTokens.onRange(
    guarded<SemanticTokensRangeParams, SemanticTokens>(
      log,
      "semantic tokens",
      none,
      ({ textDocument: { uri }, range }) => {
        const answer = (snapshot: Snapshot) => {
          const builder = new SemanticTokensBuilder();
          const { text } = snapshot;
          push(
            builder,
            snapshot,
            semanticTokens(snapshot, positions.offset(text, range.start), positions.offset(text, range.end)),
          );
          const { data } = builder.build();
          return { data };
        };
        return service.atOnce(uri, answer) ?? none;
      },
    ),
  );

  connection.onDocumentColor(
    guarded<DocumentColorParams, ColorInformation[]>(log, "colours", [], ({ textDocument: { uri } }) => {
      const answer = (snapshot: Snapshot) =>
        swatches(snapshot).map((swatch) => ({
          range: positions.range(snapshot.text, swatch),
          color: { ...swatch.colour, alpha: 1 },
        }));
      return service.atOnce(uri, answer) ?? [];
    }),
  );
  connection.onColorPresentation(
    guarded<ColorPresentationParams, ColorPresentation[]>(
      log,
      "colours",
      [],
      ({ textDocument: { uri }, color, range }) => {
        const answer = ({ text }: Snapshot) => {
          const written = text.slice(positions.offset(text, range.start), positions.offset(text, range.end));
          return codesFor(color, written).map((label) => ({ label, textEdit: { range, newText: label } }));
        };
        return service.atOnce(uri, answer) ?? [];
      },
    ),
  );
}
