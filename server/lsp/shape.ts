/** Outline and folding. */
import type { DocumentSymbol, DocumentSymbolParams, FoldingRange, FoldingRangeParams } from "vscode-languageserver";
import { FoldingRangeKind, SymbolKind } from "vscode-languageserver";
import { folds } from "../editor/folding.ts";
import { type OutlineEntry, type OutlineKind, outline } from "../editor/symbols.ts";
import type { Snapshot } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export const symbolKinds: Readonly<Record<OutlineKind, SymbolKind>> = {
  machine: SymbolKind.Module,
  part: SymbolKind.Object,
  type: SymbolKind.Class,
  contact: SymbolKind.Interface,
  load: SymbolKind.Field,
  statement: SymbolKind.Event,
};

export function registerShape({ connection, service, positions, log }: FeatureContext): void {
  const symbol = ({ text }: Snapshot, entry: OutlineEntry): DocumentSymbol => ({
    name: entry.name,
    detail: entry.detail,
    kind: symbolKinds[entry.kind],
    range: positions.range(text, entry),
    selectionRange: positions.range(text, { from: entry.nameFrom, to: entry.nameTo }),
  });
  const nested = (snapshot: Snapshot, entry: OutlineEntry): DocumentSymbol => ({
    ...symbol(snapshot, entry),
    children: entry.children.map((child) => nested(snapshot, child)),
  });

  connection.onDocumentSymbol(
    guarded<DocumentSymbolParams, DocumentSymbol[] | null>(log, "outline", null, ({ textDocument: { uri } }) => {
      const answer = (snapshot: Snapshot) => outline(snapshot).map((entry) => nested(snapshot, entry));
      return service.atOnce(uri, answer) ?? null;
    }),
  );

  connection.onFoldingRanges(
    guarded<FoldingRangeParams, FoldingRange[] | null>(log, "folding", null, ({ textDocument: { uri } }) => {
      const answer = (snapshot: Snapshot) =>
        folds(snapshot).map((fold): FoldingRange => {
          const { start, end } = positions.range(snapshot.text, fold);
          const kind = fold.kind === "comment" ? FoldingRangeKind.Comment : undefined;
          return { startLine: start.line, endLine: end.line, ...(kind ? { kind } : {}) };
        });
      return service.atOnce(uri, answer) ?? null;
    }),
  );
}
