/** What can be done about findings, and other ways to write the same, in the editor's list of actions. */
import type { CodeAction, CodeActionParams, TextEdit } from "vscode-languageserver";
import { CodeActionKind } from "vscode-languageserver";
import { type ShowState, showState } from "../base/chosen-state.ts";
import { shownStateText } from "../base/finding.ts";
import { type Action, actions, fixAll } from "../editor/actions.ts";
import { namesOfShown } from "../editor/shown-state.ts";
import { machineIndexAt } from "../editor/view.ts";
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

export function registerActions({ connection, service, positions, log, told }: FeatureContext): void {
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

  /** For clients that show chosen states: the state in which each finding here can be seen. */
  const showStates = (snapshot: Snapshot, from: number, to: number): CodeAction[] => {
    const seen = new Set<string>();
    return snapshot.findings.flatMap((finding): CodeAction[] => {
      const { place, state } = finding;
      if (!state || place.file !== snapshot.file || place.from > to || from > place.to) return [];
      const index = machineIndexAt(snapshot, place.from);
      const view = snapshot.machines[index];
      const names = view && namesOfShown(view.machine, state);
      const title = `Show a state that shows it: ${shownStateText(state)}`;
      if (!names || seen.has(title)) return [];
      seen.add(title);
      const shown: ShowState = { uri: snapshot.file, machine: index, names };
      return [
        {
          title,
          kind: CodeActionKind.QuickFix,
          diagnostics: [toDiagnostic(finding, snapshot.text, positions, textOf)],
          command: { title, command: showState, arguments: [shown] },
        },
      ];
    });
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
          const states = told.chosenStateChanged && wanted("fix") ? showStates(snapshot, from, to) : [];
          return [...[...found, ...(all ? [all] : [])].flatMap((action) => codeAction(snapshot, action)), ...states];
        };
        return service.atOnce(uri, answer) ?? null;
      },
    ),
  );
}
