/** Formatting of a document, a range, and while typing. The editor's tab size is not asked: the language has one style. */
import type { TextEdit as LspEdit } from "vscode-languageserver";
import { formatTree, type TextEdit } from "../../grammar/format.ts";
import type { Tree } from "../../grammar/tree.ts";
import { formatRange, formatTyped } from "../editor/formatting.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

interface OfDocument {
  readonly textDocument: { readonly uri: string };
}

export function registerFormatting({ connection, service, positions, log }: FeatureContext): void {
  const answering = <Params extends OfDocument>(name: string, edits: (tree: Tree, params: Params) => TextEdit[]) =>
    guarded<Params, LspEdit[] | null>(log, name, null, (params) => {
      const answer = ({ tree }: { readonly tree: Tree }) =>
        edits(tree, params).map((edit) => ({ range: positions.range(tree.text, edit), newText: edit.text }));
      return service.atOnce(params.textDocument.uri, answer) ?? null;
    });

  connection.onDocumentFormatting(answering("formatting", (tree) => formatTree(tree)));
  connection.onDocumentRangeFormatting(
    answering("formatting a range", (tree, { range }) =>
      formatRange(tree, positions.offset(tree.text, range.start), positions.offset(tree.text, range.end)),
    ),
  );
  connection.onDocumentOnTypeFormatting(
    answering("formatting while typing", (tree, { position, ch }) =>
      formatTyped(tree, positions.offset(tree.text, position), ch),
    ),
  );
}
