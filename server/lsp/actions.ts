/** What can be done about findings, and other ways to write the same, in the editor's list of actions. */
import type { CodeAction, CodeActionParams, TextEdit } from "vscode-languageserver";
import { CodeActionKind } from "vscode-languageserver";
import { type Action, actions, fixAll } from "../editor/actions.ts";
import type { Snapshot } from "../service.ts";
import { toDiagnostic } from "./diagnostics.ts";
import type { FeatureContext } from "./features.ts";
import { guarded } from "./guard.ts";

/** Kinds of the protocol, as they stand in the capabilities too. */
export const actionKinds: Readonly<Record<Action["kind"], CodeActionKind>> = {
  fix: CodeActionKind.QuickFix,
  silence: CodeActionKind.QuickFix,
  rewrite: CodeActionKind.RefactorRewrite,
  "fix-all": `${CodeActionKind.SourceFixAll}.camleaf`,
};

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
        kind: actionKinds[kind],
        ...(finding ? { diagnostics: [toDiagnostic(finding, snapshot.text, positions, textOf)] } : {}),
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
      ({ textDocument: { uri }, range, context: { only } }) => {
        // A kind asks for all kinds below it: `source` for `source.fixAll.camleaf`.
        const wanted = (kind: Action["kind"]) =>
          !only || only.some((asked) => asked === "" || `${actionKinds[kind]}.`.startsWith(`${asked}.`));
        const answer = (snapshot: Snapshot) => {
          const from = positions.offset(snapshot.text, range.start);
          const to = positions.offset(snapshot.text, range.end);
          const found = actions(snapshot, from, to).filter(({ kind }) => wanted(kind));
          // Only where it is asked for: else it would stand in the list at every place of the file.
          const all = only && wanted("fix-all") ? fixAll(snapshot) : undefined;
          return [...found, ...(all ? [all] : [])].flatMap((action) => codeAction(snapshot, action));
        };
        return service.atOnce(uri, answer) ?? null;
      },
    ),
  );
}
