/** The view with the machine's own controls. It follows the text that is worked on. */
import type * as vscode from "vscode";
import type { StateWish } from "../server/base/chosen-state.ts";
import type { Keeper } from "./keeper.ts";
import type { FromPage, ToPage } from "./webview/messages.ts";
import { openPage, webviewOptions } from "./webview-page.ts";

export class ControlsView implements vscode.WebviewViewProvider {
  static readonly id = "camleaf.controls";
  #send: ((message: ToPage) => void) | undefined;
  #machine: number | undefined;
  #asked = 0;

  constructor(
    private readonly keeper: Keeper,
    private readonly extension: vscode.Uri,
  ) {}

  resolveWebviewView(view: vscode.WebviewView): void {
    view.webview.options = webviewOptions(this.extension);
    this.#send = openPage(
      view.webview,
      this.extension,
      "controls",
      "Machine Controls",
      (message) => void this.#heard(message),
    );
    const all = [
      this.keeper.onDidChangeCurrent(() => {
        this.#machine = undefined;
        void this.#look();
      }),
      this.keeper.onDidChange(({ uri, why }) => {
        // While a person types, the controls stay; they are read again once every state was looked at.
        if (uri === this.keeper.current?.toString() && why !== "text") void this.#look();
      }),
    ];
    view.onDidDispose(() => {
      this.#send = undefined;
      for (const one of all) one.dispose();
    });
  }

  async #heard(message: FromPage): Promise<void> {
    if (message.tell === "wish") return this.#look(message.wish);
    if (message.tell === "machine") this.#machine = message.index;
    if (message.tell === "machine" || message.tell === "ready") return this.#look();
  }

  async #look(wish?: StateWish): Promise<void> {
    const { current } = this.keeper;
    const turn = ++this.#asked;
    const state = current && (await this.keeper.state(current, this.#machine, wish));
    if (turn !== this.#asked) return;
    if (!current || !state)
      return this.#send?.({ show: "nothing", words: "Open the text of a machine to see and move its controls." });
    // Not looked at yet: what is shown stays until it is.
    if (state.ready) this.#send?.({ show: "state", state, uri: current.toString() });
  }
}
