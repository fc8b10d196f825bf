/** What can be done about findings, in the editor's list of quick fixes. */
import type { CodeAction, CodeActionParams, TextEdit } from "vscode-languageserver";
import { CodeActionKind } from "vscode-languageserver";
import { type Action, actions } from "../editor/actions.ts";
import type { Snapshot } from "../service.ts";
import { toDiagnostic } from "./diagnostics.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

export function registerActions({ connection, service, positions, log }: FeatureContext): void {
  const textOf = (file: string) => service.textOf(file);
  const codeAction = (snapshot: Snapshot, { title, finding, kind, safe, edits }: Action): CodeAction[] => {
    const changes: Record<string, TextEdit[]> = {};
    for (const { place, text } of edits) {
      const old = place.file === snapshot.file ? snapshot.text : textOf(place.file);
      if (old === undefined) return [];
      const list = (changes[place.file] ??= []);
      list.push({ range: positions.range(old, place), newText: text });
    }
    return [
      {
        title,
        kind: CodeActionKind.QuickFix,
        diagnostics: [toDiagnostic(finding, snapshot.text, positions, textOf)],
        ...(kind === "fix" && safe ? { isPreferred: true } : {}),
        edit: { changes },
      },
    ];
  };

  connection.onCodeAction(
    guarded<CodeActionParams, CodeAction[] | null>(
      log,
      "actions",
      null,
      ({ textDocument: { uri }, range, context }) => {
        if (context.only && !context.only.some((kind) => CodeActionKind.QuickFix.startsWith(kind))) return null;
        const answer = (snapshot: Snapshot) => {
          const from = positions.offset(snapshot.text, range.start);
          const to = positions.offset(snapshot.text, range.end);
          return actions(snapshot, from, to).flatMap((action) => codeAction(snapshot, action));
        };
        return service.atOnce(uri, answer) ?? null;
      },
    ),
  );
}
