/** The bench beside the text: the next reading with a place to enter it, the suspects, and the drawing with them marked. */
import * as vscode from "vscode";
import { typedLines } from "../server/base/bench.ts";
import { type BenchResult, bench, type DrawingParams, type DrawingResult, drawing } from "../server/protocol.ts";
import type { Keeper } from "./keeper.ts";
import { showText } from "./show-text.ts";
import type { FromPage, Kept, ToPage } from "./webview/messages.ts";
import { lookAfterAnalysis, openPage, saidWhenSlow, webviewOptions } from "./webview-page.ts";

export class BenchPanel {
  static readonly viewType = "camleaf.bench";
  readonly #send: (message: ToPage) => void;
  #block: number | undefined;
  #shown: BenchResult | undefined;
  #drawing: DrawingResult | undefined;
  #asked = 0;

  constructor(
    readonly uri: vscode.Uri,
    readonly panel: vscode.WebviewPanel,
    private readonly keeper: Keeper,
    extension: vscode.Uri,
    kept: Partial<Kept> = {},
  ) {
    this.#block = kept.block;
    panel.webview.options = webviewOptions(extension);
    this.#send = openPage(panel.webview, extension, "bench", "Bench", (message) => void this.#heard(message));
    lookAfterAnalysis(keeper, uri, panel, () => void this.#look());
  }

  async #heard(message: FromPage): Promise<void> {
    switch (message.tell) {
      case "ready":
        await vscode.workspace.openTextDocument(this.uri).then(undefined, () => undefined);
        return this.#look();
      case "block":
        this.#block = message.index;
        return this.#look();
      case "enter":
        return this.#enter(message.reading, message.typed);
      case "begin":
        return this.#begin();
      case "part": {
        const part = this.#drawing?.parts.find(({ name }) => name === message.name);
        if (part?.range) await showText(this.uri, { start: part.range.start, end: part.range.start });
        return;
      }
      default:
    }
  }

  async #look(): Promise<void> {
    const turn = ++this.#asked;
    const uri = this.uri.toString();
    const at = this.keeper.caret(this.uri);
    const asked = this.keeper.ask<BenchResult | null>(bench, { uri, at, block: this.#block });
    const found = await saidWhenSlow(this.#send, "Putting faults into the circuit.", asked);
    this.#send({ show: "busy", words: undefined });
    if (turn !== this.#asked) return;
    if (!found)
      return this.#send({ show: "nothing", words: "Open the text of a machine, or findings about one, first." });
    this.#shown = found;
    this.#block ??= found.blocks.length > 1 ? found.block : undefined;
    this.#send({ show: "bench", bench: found, uri });
    // Where the parts stand in this text, for a press on one of them.
    const params: DrawingParams = { uri, at, live: false };
    this.#drawing = (await this.keeper.ask<DrawingResult | null>(drawing, params)) ?? undefined;
  }

  /** Writes the line of a reading into the findings block; the analysis of the changed text brings the next one. */
  async #enter(index: number, typed: string): Promise<void> {
    const { report, inserts, version } = this.#shown ?? {};
    const reading = index === 0 ? report?.next : report?.others[index - 1];
    const insert = inserts?.[index];
    if (!reading || !insert) return;
    const lines = typedLines(reading, typed);
    if (!lines) {
      const kind =
        reading.unit === ""
          ? "a word such as off or works"
          : `a number in ${reading.unit}${reading.unit === "ohm" ? ", or open" : ""}`;
      return this.#send({ show: "refused", words: `Type ${kind}.` });
    }
    const document = await vscode.workspace.openTextDocument(this.uri);
    if (document.version !== version)
      return this.#send({
        show: "refused",
        words: "The text has changed meanwhile; enter it once it has been looked at.",
      });
    await this.#insert(insert.at, lines.map((line) => `\n${insert.indent}${line}`).join(""));
  }

  async #begin(): Promise<void> {
    const start = this.#shown?.start;
    if (!start) return;
    await this.#insert(start.at, start.text);
    const inside = { line: start.at.line + 1, character: 0 };
    await showText(this.uri, { start: inside, end: inside });
  }

  async #insert(at: { line: number; character: number }, text: string): Promise<void> {
    const edit = new vscode.WorkspaceEdit();
    edit.insert(this.uri, new vscode.Position(at.line, at.character), text);
    await vscode.workspace.applyEdit(edit);
  }
}
