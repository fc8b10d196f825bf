import * as vscode from "vscode";
import { State } from "vscode-languageclient";
import type { AnalysisDone } from "../server/protocol.ts";

/** The quiet item behind the language name in the status bar: whether every state of the open file was looked at. */
export class StatusItem implements vscode.Disposable {
  readonly #item = vscode.languages.createLanguageStatusItem("camleaf.analysis", { language: "camleaf" });
  readonly #done = new Map<string, AnalysisDone>();
  readonly #editors = vscode.window.onDidChangeActiveTextEditor(() => this.#show());
  #server: State = State.Starting;

  constructor() {
    this.#item.name = "Camleaf";
    this.#item.command = { title: "Show log", command: "camleaf.showLog" };
    this.#show();
  }

  server(state: State): void {
    this.#server = state;
    this.#done.clear();
    this.#show();
  }

  changed(document: vscode.TextDocument): void {
    if (this.#done.delete(document.uri.toString())) this.#show();
  }

  done(done: AnalysisDone): void {
    this.#done.set(vscode.Uri.parse(done.uri).toString(), done);
    this.#show();
  }

  dispose(): void {
    this.#item.dispose();
    this.#editors.dispose();
  }

  #show(): void {
    const item = this.#item;
    item.busy = false;
    item.severity = vscode.LanguageStatusSeverity.Information;
    if (this.#server === State.Stopped) {
      item.text = "Camleaf is not running";
      item.severity = vscode.LanguageStatusSeverity.Error;
      item.detail = "restart it from the command palette";
      return;
    }
    const document = vscode.window.activeTextEditor?.document;
    if (document?.languageId !== "camleaf") return;
    const done = this.#done.get(document.uri.toString());
    if (!done) {
      item.busy = true;
      item.text = "Looking at every state";
      item.detail = undefined;
    } else if (done.complete) {
      item.text = "Every state looked at";
      item.detail = `${Math.max(1, Math.round(done.milliseconds))} ms`;
    } else {
      item.text = "Not every state looked at";
      item.severity = vscode.LanguageStatusSeverity.Warning;
      item.detail = done.missing.join(" ");
    }
  }
}
