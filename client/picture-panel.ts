/** A panel beside the text with the circuit drawing or the timer charts of its machine. */
import * as vscode from "vscode";
import type { StateWish } from "../server/base/chosen-state.ts";
import {
  type ChartResult,
  chart,
  type DrawingParams,
  type DrawingResult,
  drawing,
  type TextRange,
} from "../server/protocol.ts";
import { editorOf, type Keeper } from "./keeper.ts";
import { saveFile } from "./save-file.ts";
import { showText } from "./show-text.ts";
import type { FromPage, Kept, ToPage } from "./webview/messages.ts";
import { openPage, webviewOptions } from "./webview-page.ts";

export type PictureKind = "drawing" | "chart";

const titles: Record<PictureKind, string> = { drawing: "Circuit", chart: "Timer Chart" };
/** While a person types, the picture follows a moment later. */
const afterTypingMs = 30;
const afterSettingMs = 300;
const longestDrawingMs = 15_000;

export class PicturePanel {
  readonly #all: vscode.Disposable[] = [];
  readonly #send: (message: ToPage) => void;
  #machine: number | undefined;
  #live = true;
  /** 0 is the whole; undefined: as the server thinks fit. */
  #section: number | undefined;
  #shown: DrawingResult | undefined;
  #charts: ChartResult | undefined;
  /** All that the page shows, to know whether anything is new. */
  #key = "";
  /** The chosen state was told once. */
  #told = false;
  #asked = 0;
  #restore: Kept["names"];
  #drawn: ((data: string | undefined) => void) | undefined;
  #soon: ReturnType<typeof setTimeout> | undefined;

  constructor(
    readonly kind: PictureKind,
    readonly uri: vscode.Uri,
    readonly panel: vscode.WebviewPanel,
    private readonly keeper: Keeper,
    extension: vscode.Uri,
    kept: Partial<Kept> = {},
  ) {
    this.#machine = kept.machine;
    this.#live = kept.live ?? true;
    this.#section = kept.section;
    panel.webview.options = webviewOptions(extension);
    this.#send = openPage(panel.webview, extension, kind, titles[kind], (message) => void this.#heard(message, kept));
    this.#all.push(
      keeper.onDidChange(({ uri: changed, why }) => {
        if (changed === uri.toString()) this.#lookSoon(why === "text" ? afterTypingMs : 0);
      }),
      vscode.workspace.onDidChangeConfiguration((change) => {
        // The server hears of it too; it is asked once it has.
        if (change.affectsConfiguration("camleaf.drawing")) this.#lookSoon(afterSettingMs);
      }),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => this.#selection(textEditor, true)),
      panel.onDidChangeViewState(() => {
        // A hidden page hears nothing: what it missed is sent anew.
        if (!panel.visible) return;
        this.#key = "";
        this.#lookSoon(0);
      }),
      panel.onDidDispose(() => this.#dispose()),
    );
  }

  async #heard(message: FromPage, kept: Partial<Kept>): Promise<void> {
    switch (message.tell) {
      case "ready":
        this.#key = "";
        // Without the text open in an editor the server does not know it.
        await vscode.workspace.openTextDocument(this.uri).then(undefined, () => undefined);
        this.#restore = kept.names;
        return this.#look();
      case "wish":
        return this.#wish(message.wish);
      case "live":
        this.#live = message.live;
        return this.#look();
      case "machine":
        this.#machine = message.index;
        this.#section = undefined;
        return this.#look();
      case "section":
        this.#section = message.number;
        return this.#look();
      case "part": {
        const part = this.#shown?.parts.find(({ name }) => name === message.name);
        if (part?.range) await showText(this.uri, part.range);
        return;
      }
      case "place":
        return showText(this.uri, message.range);
      case "save":
        return this.save();
      case "png":
        return this.#drawn?.(message.data);
    }
  }

  async #wish(wish: StateWish): Promise<void> {
    const state = await this.keeper.state(this.uri, this.#machine, wish);
    if (state) this.#send({ show: "state", state, uri: this.uri.toString() });
    // What was granted comes round again as a change of the state.
  }

  #lookSoon(milliseconds: number): void {
    clearTimeout(this.#soon);
    this.#soon = setTimeout(() => void this.#look(), milliseconds);
  }

  /** A state kept over a reload is wished for until the machine's states are known. */
  async #restoreState(): Promise<void> {
    if (!this.#restore) return;
    const state = await this.keeper.state(this.uri, this.#machine, { wish: "names", positions: this.#restore });
    if (state?.ready) this.#restore = undefined;
  }

  async #look(): Promise<void> {
    const turn = ++this.#asked;
    await this.#restoreState();
    let busy = false;
    const slow = setTimeout(() => {
      busy = true;
      this.#send({ show: "busy", words: "Looking at every state of the machine." });
    }, 1000);
    const uri = this.uri.toString();
    try {
      // The machine at rest is there at once; its states take a moment longer.
      if (this.kind === "drawing" && this.#live && !this.#shown) await this.#show(turn, uri, false);
      const state = this.keeper.state(this.uri, this.#machine);
      await this.#show(turn, uri, this.#live);
      const told = await state;
      // While states of an edited text are worked out, what is told stays.
      if (turn === this.#asked && told && (told.ready || !this.#told)) {
        this.#told = told.ready;
        this.#send({ show: "state", state: told, uri });
      }
    } finally {
      clearTimeout(slow);
      if (busy) this.#send({ show: "busy", words: undefined });
    }
  }

  async #show(turn: number, uri: string, live: boolean): Promise<void> {
    const params: DrawingParams = {
      uri,
      machine: this.#machine,
      at: this.keeper.caret(this.uri),
      live,
      section: this.#section,
    };
    const method = this.kind === "drawing" ? drawing : chart;
    const picture = await this.keeper.ask<DrawingResult | ChartResult | null>(method, params);
    if (turn !== this.#asked) return; // a newer look is on its way
    if (!picture) {
      this.#key = "";
      return this.#send({ show: "nothing", words: "No machine is written in this text yet." });
    }
    this.#machine ??= picture.machines.length > 1 ? picture.machine : undefined;
    if ("parts" in picture) this.#showDrawing(picture, uri);
    else {
      this.#charts = picture;
      this.#send({ show: "chart", chart: picture, uri });
    }
  }

  #ask(live: boolean, alone = false): Promise<DrawingResult | ChartResult | null | undefined> {
    const at = this.keeper.caret(this.uri);
    const uri = this.uri.toString();
    const params: DrawingParams = { uri, machine: this.#machine, at, live, section: this.#section, alone };
    return this.keeper.ask<DrawingResult | ChartResult | null>(this.kind === "drawing" ? drawing : chart, params);
  }

  #showDrawing(picture: DrawingResult, uri: string): void {
    // States not worked out yet: what is shown stays until they are, instead of flashing by at rest.
    if (this.#live && !picture.live && this.#shown?.live && picture.machine === this.#shown.machine) return;
    const same = { ...picture, version: 0 };
    const key = JSON.stringify([same, this.#live]);
    const before = this.#key;
    this.#shown = picture;
    this.#key = key;
    if (key === before) return; // the analysis came to what was drawn already
    this.#send({ show: "drawing", drawing: picture, wantsLive: this.#live, uri });
    const editor = editorOf(this.uri);
    if (editor) this.#selection(editor, false);
  }

  #selection({ document, selection }: vscode.TextEditor, moved: boolean): void {
    if (this.kind !== "drawing" || document.uri.toString() !== this.uri.toString()) return;
    const holds = ({ start, end }: TextRange) =>
      selection.active.isAfterOrEqual(new vscode.Position(start.line, start.character)) &&
      selection.active.isBeforeOrEqual(new vscode.Position(end.line, end.character));
    const size = ({ start, end }: TextRange) => (end.line - start.line) * 1000 + end.character - start.character;
    const found = this.#shown?.parts
      .flatMap(({ name, range, whole }) =>
        [range, whole].flatMap((one) => (one && holds(one) ? [{ name, size: size(one) }] : [])),
      )
      .sort((a, b) => a.size - b.size)[0];
    this.#send({ show: "selected", name: found?.name, moved });
  }

  /** The picture as a file of its own that opens anywhere; undefined before it was shown. */
  async #file(): Promise<{ readonly suffix: string; readonly text: string } | undefined> {
    const shown = this.#shown ? ((await this.#ask(this.#live, true)) as DrawingResult | undefined) : this.#charts;
    const svg = shown && ("svg" in shown ? shown.svg : shown.charts[0]?.svg);
    if (!shown || svg === undefined) return undefined;
    const text = svg.replace(/^(<svg[^>]*>)/, (open) => `${open}\n<style>${shown.style}\n</style>`);
    const section = "section" in shown && shown.section !== undefined ? `-section-${shown.section}` : "";
    const suffix = this.kind === "chart" ? "-chart" : `${section}${this.#live ? "-state" : ""}`;
    return { suffix, text };
  }

  /** SVG or PNG, by the name that the person gives. */
  async save(): Promise<void> {
    const file = await this.#file();
    if (!file) return;
    await saveFile(this.uri, file.suffix, [
      { ending: "svg", name: "SVG", content: file.text },
      { ending: "png", name: "PNG", content: () => this.#png(file.text) },
    ]);
  }

  /** The page draws it: the extension has no canvas. */
  async #png(svg: string): Promise<Uint8Array | undefined> {
    const data = await new Promise<string | undefined>((drawn) => {
      this.#drawn = drawn;
      this.#send({ show: "rasterise", svg });
      setTimeout(() => drawn(undefined), longestDrawingMs);
    });
    if (data === undefined) {
      void vscode.window.showErrorMessage("The picture could not be drawn as PNG. Save it as SVG instead.");
      return undefined;
    }
    return Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
  }

  async copy(): Promise<void> {
    const file = await this.#file();
    if (!file) return;
    await vscode.env.clipboard.writeText(file.text);
    vscode.window.setStatusBarMessage("The picture is on the clipboard as SVG.", 3000);
  }

  #dispose(): void {
    clearTimeout(this.#soon);
    for (const one of this.#all) one.dispose();
  }
}
