/** The chosen state from the client's side: which machine the views speak of, and who has to look again. */
import * as vscode from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import type { ChosenState, StateWish } from "../server/base/chosen-state.ts";
import {
  type ChosenStateChanged,
  type ChosenStateParams,
  type ChosenStateResult,
  chosenState,
  chosenStateChanged,
} from "../server/protocol.ts";

/** Why a view should look again: another text, every state looked at, another state. */
export interface Change {
  readonly uri: string;
  readonly why: "text" | "analysed" | "state";
}

export class Keeper implements vscode.Disposable {
  readonly #changes = new vscode.EventEmitter<Change>();
  readonly onDidChange = this.#changes.event;
  readonly #current = new vscode.EventEmitter<vscode.Uri | undefined>();
  /** Another machine's text became the one that is worked on. */
  readonly onDidChangeCurrent = this.#current.event;
  readonly #all: vscode.Disposable[];
  #uri: vscode.Uri | undefined;

  constructor(readonly client: BaseLanguageClient) {
    const notice = (editor: vscode.TextEditor | undefined) => {
      if (editor?.document.languageId === "camleaf") this.#setCurrent(editor.document.uri);
    };
    this.#all = [
      this.#changes,
      this.#current,
      client.onNotification(chosenStateChanged, ({ uri }: ChosenStateChanged) => this.#tell(uri, "state")),
      vscode.workspace.onDidChangeTextDocument(({ document }) => {
        if (document.languageId === "camleaf") this.#tell(document.uri.toString(), "text");
      }),
      vscode.workspace.onDidCloseTextDocument(({ uri }) => {
        if (uri.toString() === this.#uri?.toString()) this.#setCurrent(undefined);
      }),
      vscode.window.onDidChangeActiveTextEditor(notice),
    ];
    notice(vscode.window.activeTextEditor);
  }

  /** The text that was worked on last. */
  get current(): vscode.Uri | undefined {
    return this.#uri;
  }

  /** Undefined when the server is not there, the text not open, or no machine in it. */
  async state(uri: vscode.Uri, machine?: number, wish?: StateWish): Promise<ChosenState | undefined> {
    const params: ChosenStateParams = { uri: uri.toString(), machine, wish, at: this.caret(uri) };
    return (await this.ask<ChosenStateResult>(chosenState, params)) ?? undefined;
  }

  /** Where the person works in this text, which tells the machine when there are several. */
  caret(uri: vscode.Uri): ChosenStateParams["at"] {
    const at = editorOf(uri)?.selection.active;
    return at && { line: at.line, character: at.character };
  }

  async ask<Result>(method: string, params: unknown): Promise<Result | undefined> {
    try {
      return await this.client.sendRequest<Result>(method, params);
    } catch {
      return undefined; // the server is away or the request was called off: the next change asks again
    }
  }

  /** Every state of this text was looked at. (A client keeps one listener a notice, so whoever hears it passes it on.) */
  analysed(uri: string): void {
    this.#tell(uri, "analysed");
  }

  dispose(): void {
    for (const one of this.#all) one.dispose();
  }

  #setCurrent(uri: vscode.Uri | undefined): void {
    if (uri?.toString() === this.#uri?.toString()) return;
    this.#uri = uri;
    void vscode.commands.executeCommand("setContext", "camleaf.active", uri !== undefined);
    this.#current.fire(uri);
  }

  #tell(uri: string, why: Change["why"]): void {
    this.#changes.fire({ uri: vscode.Uri.parse(uri).toString(), why });
  }
}

export function editorOf(uri: vscode.Uri): vscode.TextEditor | undefined {
  return vscode.window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri.toString());
}
