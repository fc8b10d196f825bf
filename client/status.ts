import * as vscode from "vscode";
import { State } from "vscode-languageclient";
import type { AnalysisDone } from "../server/protocol.ts";
import type { Keeper } from "./keeper.ts";

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
      const besides = done.looked.length > 0 ? `; besides: ${done.looked.join(", ")}` : "";
      item.detail = `${Math.max(1, Math.round(done.milliseconds))} ms${besides}`;
    } else {
      item.text = "Not every state looked at";
      item.severity = vscode.LanguageStatusSeverity.Warning;
      item.detail = done.missing.join(" ");
    }
  }
}

const mostLetters = 48;

/** The chosen state in the status bar, while a machine's text is worked on; a click shows the machine's controls. */
export class StateItem implements vscode.Disposable {
  readonly #item = vscode.window.createStatusBarItem("camleaf.state", vscode.StatusBarAlignment.Left, 0);
  readonly #all: vscode.Disposable[];
  #asked = 0;

  constructor(private readonly keeper: Keeper) {
    this.#item.name = "Chosen State of the Machine";
    this.#item.command = "camleaf.showControls";
    this.#all = [
      this.#item,
      keeper.onDidChange(({ uri, why }) => {
        if (why !== "text" && uri === this.#current()?.toString()) void this.#look();
      }),
      vscode.window.onDidChangeActiveTextEditor(() => void this.#look()),
    ];
    void this.#look();
  }

  dispose(): void {
    for (const one of this.#all) one.dispose();
  }

  /** A picture of the text keeps it current as well as the text itself. */
  #current(): vscode.Uri | undefined {
    const document = vscode.window.activeTextEditor?.document;
    return document === undefined || document.languageId === "camleaf" ? this.keeper.current : undefined;
  }

  async #look(): Promise<void> {
    const uri = this.#current();
    const turn = ++this.#asked;
    const state = uri && (await this.keeper.state(uri));
    if (turn !== this.#asked) return;
    if (!state?.ready) return this.#item.hide();
    const { words, machine, watts } = state;
    this.#item.text = `$(circuit-board) ${words.length > mostLetters ? `${words.slice(0, mostLetters)}…` : words}`;
    this.#item.tooltip = `${machine}: ${words}\n${watts} in all\nNumbers beside the names, hovers and pictures speak of this state.`;
    this.#item.accessibilityInformation = { label: `Chosen state: ${words}` };
    this.#item.show();
  }
}
