/** Formatting of a document, a range, and while typing. The editor's tab size is not asked: the language has one style. */
import type { TextEdit as LspEdit } from "vscode-languageserver";
import { formatText, type TextEdit } from "../../grammar/format.ts";
import { formatRange, formatTyped } from "../editor/formatting.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

interface OfDocument {
  readonly textDocument: { readonly uri: string };
}

export function registerFormatting({ connection, service, positions, log }: FeatureContext): void {
  const answering = <Params extends OfDocument>(name: string, edits: (text: string, params: Params) => TextEdit[]) =>
    guarded<Params, LspEdit[] | null>(log, name, null, (params) => {
      const answer = ({ text }: { readonly text: string }) =>
        edits(text, params).map((edit) => ({ range: positions.range(text, edit), newText: edit.text }));
      return service.atOnce(params.textDocument.uri, answer) ?? null;
    });

  connection.onDocumentFormatting(answering("formatting", formatText));
  connection.onDocumentRangeFormatting(
    answering("formatting a range", (text, { range }) =>
      formatRange(text, positions.offset(text, range.start), positions.offset(text, range.end)),
    ),
  );
  connection.onDocumentOnTypeFormatting(
    answering("formatting while typing", (text, { position, ch }) =>
      formatTyped(text, positions.offset(text, position), ch),
    ),
  );
}
