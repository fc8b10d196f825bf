/** Completion and signature help. */
import {
  type CompletionItem,
  CompletionItemKind,
  type CompletionList,
  type CompletionParams,
  InsertTextFormat,
  type Range,
  type SignatureHelp,
  type SignatureHelpParams,
} from "vscode-languageserver";
import { statementsOf } from "../../grammar/statement-list.ts";
import { type Choice, type ChoiceKind, completion, completionNeeds } from "../editor/completion.ts";
import { signature } from "../editor/signature.ts";
import { plainBody } from "../editor/snippets.ts";
import type { FileView } from "../editor/view.ts";
import type { Snapshot } from "../service.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

const itemKinds: Readonly<Record<ChoiceKind, CompletionItemKind>> = {
  statement: CompletionItemKind.Keyword,
  kind: CompletionItemKind.Class,
  property: CompletionItemKind.Property,
  word: CompletionItemKind.Keyword,
  part: CompletionItemKind.Variable,
  terminal: CompletionItemKind.Field,
  contact: CompletionItemKind.Function,
  load: CompletionItemKind.Variable,
  control: CompletionItemKind.Variable,
  position: CompletionItemKind.EnumMember,
  unit: CompletionItemKind.Unit,
  colour: CompletionItemKind.Color,
  type: CompletionItemKind.Struct,
  condition: CompletionItemKind.Value,
  snippet: CompletionItemKind.Snippet,
  "chart-row": CompletionItemKind.Value,
};

export function registerCompletion({ connection, service, positions, log, told }: FeatureContext): void {
  connection.onCompletion(
    guarded<CompletionParams, CompletionList | null>(
      log,
      "completion",
      null,
      async ({ textDocument, position, context }) => {
        const { uri } = textDocument;
        const offsetIn = ({ text }: Snapshot) => positions.offset(text, position);
        const answer = (snapshot: Snapshot, others: readonly FileView[] = []): CompletionList => {
          const found = completion(
            snapshot,
            offsetIn(snapshot),
            nearby(snapshot, others, service.workspace.openFiles()),
          );
          const range = positions.range(snapshot.text, found);
          const ranked = [...found.choices].sort((a, b) => a.rank - b.rank);
          return {
            isIncomplete: false,
            items: ranked.map((choice, index) => item(choice, index, range, told.snippets)),
          };
        };
        const needs = service.atOnce(uri, (snapshot) => completionNeeds(snapshot, offsetIn(snapshot)));
        // A space typed at the head of a line asks for nothing.
        if (needs === undefined || (needs === "start" && context?.triggerCharacter === " ")) return null;
        if (needs === "numbers") return (await service.withNumbers(uri, answer)) ?? null;
        if (needs === "types") return (await service.withRelatives(uri, answer)) ?? null;
        return service.atOnce(uri, answer) ?? null;
      },
    ),
  );

  connection.onSignatureHelp(
    guarded<SignatureHelpParams, SignatureHelp | null>(log, "signature", null, ({ textDocument, position }) => {
      const answer = (snapshot: Snapshot): SignatureHelp | null => {
        const found = signature(snapshot, positions.offset(snapshot.text, position));
        if (!found) return null;
        const { label, documentation, parameters, active } = found;
        return {
          signatures: [
            {
              label,
              documentation,
              parameters: parameters.map(({ from, to, documentation: text }) => ({
                label: [from, to],
                documentation: text,
              })),
              ...(active === undefined ? {} : { activeParameter: active }),
            },
          ],
          activeSignature: 0,
          // Past the last one: nothing is marked.
          activeParameter: active ?? parameters.length,
        };
      };
      return service.atOnce(textDocument.uri, answer) ?? null;
    }),
  );
}

function item(choice: Choice, index: number, range: Range, snippets: boolean): CompletionItem {
  const { label, kind, detail, documentation, insert, snippet } = choice;
  const body = insert ?? label;
  return {
    label,
    kind: itemKinds[kind],
    ...(detail === undefined ? {} : { detail }),
    ...(documentation === undefined ? {} : { documentation: { kind: "markdown", value: documentation } }),
    sortText: String(index).padStart(5, "0"),
    insertTextFormat: snippet && snippets ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    textEdit: { range, newText: snippet && !snippets ? plainBody(body) : body },
  };
}

/** Texts that a `use` could name, from where this one stands, and types that other files describe. */
function nearby(snapshot: Snapshot, others: readonly FileView[], open: readonly string[]) {
  const folder = snapshot.file.slice(0, snapshot.file.lastIndexOf("/") + 1);
  const files = [...new Set([...open, ...others.map(({ file }) => file)])]
    .filter((file) => file !== snapshot.file && file.startsWith(folder))
    .map((file) => decodeURIComponent(file.slice(folder.length)));
  const types = others.flatMap(({ tree }) =>
    statementsOf(tree, "type").flatMap(({ name }) => (name ? [name.text] : [])),
  );
  return { files, types };
}
