/** A proposal beside its machine: the verdict with its rows, and the drawing before and after in a state that shows the chosen row. */
import * as vscode from "vscode";
import { type ComparisonParams, type ComparisonResult, comparison } from "../server/protocol.ts";
import type { Keeper } from "./keeper.ts";
import { showText } from "./show-text.ts";
import type { FromPage, Kept, ToPage } from "./webview/messages.ts";
import { lookAfterAnalysis, openPage, panelBeside, saidWhenSlow, webviewOptions } from "./webview-page.ts";

const viewType = "camleaf.compare";

class ComparePanel {
  readonly #send: (message: ToPage) => void;
  #proposal: number | undefined;
  #row: number | undefined;
  #shown: ComparisonResult | undefined;
  #asked = 0;

  constructor(
    readonly uri: vscode.Uri,
    readonly panel: vscode.WebviewPanel,
    private readonly keeper: Keeper,
    extension: vscode.Uri,
    private line: number | undefined,
    kept: Partial<Kept> = {},
  ) {
    this.#proposal = kept.block;
    panel.webview.options = webviewOptions(extension);
    this.#send = openPage(panel.webview, extension, "compare", "Comparison", (message) => void this.#heard(message));
    lookAfterAnalysis(keeper, uri, panel, () => void this.#look());
  }

  /** Shows the proposal in this line of the text. */
  turnTo(line: number | undefined): void {
    this.line = line;
    this.#proposal = undefined;
    this.#row = undefined;
    this.panel.reveal(undefined, true);
    void this.#look();
  }

  async #heard(message: FromPage): Promise<void> {
    switch (message.tell) {
      case "ready":
        await vscode.workspace.openTextDocument(this.uri).then(undefined, () => undefined);
        return this.#look();
      case "block":
        this.#proposal = message.index;
        this.#row = undefined;
        return this.#look();
      case "row": {
        const row = this.#shown?.rows[message.index];
        if (row?.state !== undefined) this.#row = message.index;
        if (row?.place) await showText(vscode.Uri.parse(row.place.uri), row.place.range);
        return row?.state === undefined ? undefined : this.#look();
      }
      case "goto":
        return showText(vscode.Uri.parse(message.place.uri), message.place.range);
      default:
    }
  }

  async #look(): Promise<void> {
    const turn = ++this.#asked;
    const at = this.line === undefined ? this.keeper.caret(this.uri) : { line: this.line, character: 0 };
    const params: ComparisonParams = { uri: this.uri.toString(), proposal: this.#proposal, at, row: this.#row };
    const asked = this.keeper.ask<ComparisonResult | null>(comparison, params);
    const found = await saidWhenSlow(this.#send, "Looking at every state of both machines.", asked);
    if (turn !== this.#asked) return;
    this.#send({ show: "busy", words: undefined });
    if (!found) return this.#send({ show: "nothing", words: "No proposal for a machine is written in this text." });
    this.#shown = found;
    this.#proposal ??= found.proposal;
    this.#send({ show: "comparison", comparison: found, row: this.#row, uri: this.uri.toString() });
  }
}

/** `camleaf.compareProposal`, from the palette or from the line above a proposal, which names its text and line. */
export function registerComparison(context: vscode.ExtensionContext, keeper: Keeper): vscode.Disposable {
  const open = new Map<string, ComparePanel>();
  const hold = (uri: vscode.Uri, panel: vscode.WebviewPanel, line?: number, kept?: Partial<Kept>) => {
    open.set(uri.toString(), new ComparePanel(uri, panel, keeper, context.extensionUri, line, kept));
    panel.onDidDispose(() => open.delete(uri.toString()));
  };
  const show = (address?: unknown, line?: unknown) => {
    const uri = typeof address === "string" ? vscode.Uri.parse(address) : keeper.current;
    if (!uri) return void vscode.window.showInformationMessage("Open a text with a proposal first.");
    const at = typeof line === "number" ? line : undefined;
    const known = open.get(uri.toString());
    if (known) return known.turnTo(at);
    hold(uri, panelBeside(context.extensionUri, viewType, "Comparison", uri), at);
  };
  return vscode.Disposable.from(
    vscode.commands.registerCommand("camleaf.compareProposal", show),
    vscode.window.registerWebviewPanelSerializer(viewType, {
      async deserializeWebviewPanel(panel: vscode.WebviewPanel, state: Partial<Kept> | undefined) {
        if (!state?.uri) return panel.dispose();
        hold(vscode.Uri.parse(state.uri), panel, undefined, state);
      },
    }),
  );
}
