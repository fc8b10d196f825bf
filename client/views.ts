/** Registers drawing, chart, controls and what they can be asked from the command palette. */
import * as vscode from "vscode";
import { type ShowState, type StateWish, showState } from "../server/base/chosen-state.ts";
import { photoAddress, photoKind } from "../server/base/photos.ts";
import { type ReadingsResult, readings, type WriteUpParams, type WriteUpResult, writeUp } from "../server/protocol.ts";
import { BenchPanel } from "./bench-panel.ts";
import { registerComparison } from "./compare-panel.ts";
import { ControlsView } from "./controls-view.ts";
import type { Keeper } from "./keeper.ts";
import { type PictureKind, PicturePanel } from "./picture-panel.ts";
import { saveFile } from "./save-file.ts";
import type { Kept } from "./webview/messages.ts";
import { panelBeside } from "./webview-page.ts";

const titles: Record<PictureKind, string> = { drawing: "Circuit", chart: "Timer Chart" };

export function registerViews(context: vscode.ExtensionContext, keeper: Keeper): vscode.Disposable {
  const open = new Map<string, PicturePanel>();
  const hold = (key: string, picture: PicturePanel) => {
    open.set(key, picture);
    picture.panel.onDidDispose(() => open.delete(key));
  };

  const show = (kind: PictureKind) => {
    const uri = keeper.current;
    if (!uri) return void vscode.window.showInformationMessage("Open the text of a machine first.");
    const key = `${kind} ${uri}`;
    const known = open.get(key);
    if (known) return known.panel.reveal(undefined, true);
    const panel = panelBeside(context.extensionUri, `camleaf.${kind}`, titles[kind], uri);
    hold(key, new PicturePanel(kind, uri, panel, keeper, context.extensionUri));
  };

  const comesBack = (kind: PictureKind) =>
    vscode.window.registerWebviewPanelSerializer(`camleaf.${kind}`, {
      async deserializeWebviewPanel(panel: vscode.WebviewPanel, state: Partial<Kept> | undefined) {
        if (!state?.uri) return panel.dispose();
        const uri = vscode.Uri.parse(state.uri);
        hold(`${kind} ${uri}`, new PicturePanel(kind, uri, panel, keeper, context.extensionUri, state));
      },
    });

  const benches = new Map<string, BenchPanel>();
  const holdBench = (uri: vscode.Uri, panel: vscode.WebviewPanel, kept?: Partial<Kept>) => {
    benches.set(uri.toString(), new BenchPanel(uri, panel, keeper, context.extensionUri, kept));
    panel.onDidDispose(() => benches.delete(uri.toString()));
  };
  const showBench = () => {
    const uri = keeper.current;
    if (!uri)
      return void vscode.window.showInformationMessage("Open the text of a machine, or findings about one, first.");
    const known = benches.get(uri.toString());
    if (known) return known.panel.reveal(undefined, true);
    holdBench(uri, panelBeside(context.extensionUri, BenchPanel.viewType, "Bench", uri));
  };

  /** The two points of the selection, or two that are asked for; what a meter shows between them. */
  const showReadings = async () => {
    const editor = vscode.window.activeTextEditor;
    if (editor?.document.languageId !== "camleaf") return;
    const { start, end } = editor.selection;
    const at = (position: vscode.Position) => ({ line: position.line, character: position.character });
    const params = { uri: editor.document.uri.toString(), range: { start: at(start), end: at(end) } };
    let found = editor.selection.isEmpty ? null : await keeper.ask<ReadingsResult | null>(readings, params);
    if (!found) {
      const points = await vscode.window.showInputBox({
        title: "Readings between two points",
        prompt: "Two terminals, or one part with two: HT.1 to HT.2",
      });
      if (points === undefined) return;
      found = await keeper.ask<ReadingsResult | null>(readings, { ...params, points });
      if (!found)
        return void vscode.window.showInformationMessage(`${points}: these are not two points of the machine.`);
    }
    await vscode.window.showQuickPick(
      found.lines.map(({ name, text }) => ({ label: text, description: name })),
      { title: `A meter from ${found.a} to ${found.b}, live in the chosen state` },
    );
  };

  const wish = (one: StateWish) => async () => {
    const uri = keeper.current;
    const state = uri && (await keeper.state(uri, undefined, one));
    if (state) vscode.window.setStatusBarMessage(state.refused ?? `${state.machine}: ${state.words}`, 4000);
  };

  /** From a finding: the state in which it can be seen, on the drawing. */
  const showFound = async (found?: ShowState) => {
    if (!found) return;
    const uri = vscode.Uri.parse(found.uri);
    const state = await keeper.state(uri, found.machine, { wish: "names", positions: found.names });
    if (state?.refused !== undefined) return void vscode.window.showInformationMessage(state.refused);
    if (state) show("drawing");
  };

  /** The picture that is looked at: the one with the focus, else one on the screen. */
  const looked = () => {
    const all = [...open.values()];
    return all.find(({ panel }) => panel.active) ?? all.find(({ panel }) => panel.visible);
  };

  const makeWriteUp = async () => {
    const uri = keeper.current;
    if (!uri) return void vscode.window.showInformationMessage("Open the text of a machine first.");
    const ask = (photos?: Readonly<Record<string, string>>) => {
      const params: WriteUpParams = { uri: uri.toString(), at: keeper.caret(uri), ...(photos ? { photos } : {}) };
      return keeper.ask<WriteUpResult | null>(writeUp, params);
    };
    const made = await vscode.window.withProgress(
      { location: vscode.ProgressLocation.Window, title: "Camleaf: writing up the machine" },
      async () => {
        const first = await ask();
        const photos = first && first.photos.length > 0 ? await photosBeside(uri, first.photos) : {};
        return Object.keys(photos).length > 0 ? ask(photos) : first;
      },
    );
    if (!made) return void vscode.window.showInformationMessage("No machine is written in this text yet.");
    const suffix = /-\d+(?=\.html$)/.exec(made.fileName)?.[0] ?? "";
    await saveFile(uri, suffix, [
      { ending: "html", name: "HTML page", content: made.html },
      { ending: "md", name: "Markdown", content: made.markdown },
    ]);
  };

  const { registerCommand } = vscode.commands;
  return vscode.Disposable.from(
    registerCommand("camleaf.openDrawing", () => show("drawing")),
    registerCommand(showState, showFound),
    registerCommand("camleaf.openBench", showBench),
    registerCommand("camleaf.readings", showReadings),
    registerComparison(context, keeper),
    vscode.window.registerWebviewPanelSerializer(BenchPanel.viewType, {
      async deserializeWebviewPanel(panel: vscode.WebviewPanel, state: Partial<Kept> | undefined) {
        if (!state?.uri) return panel.dispose();
        holdBench(vscode.Uri.parse(state.uri), panel, state);
      },
    }),
    registerCommand("camleaf.openChart", () => show("chart")),
    registerCommand("camleaf.showControls", () => vscode.commands.executeCommand(`${ControlsView.id}.focus`)),
    registerCommand("camleaf.stepOn", wish({ wish: "step", by: 1 })),
    registerCommand("camleaf.stepBack", wish({ wish: "step", by: -1 })),
    registerCommand("camleaf.stateAtRest", wish({ wish: "rest" })),
    registerCommand("camleaf.copySvg", () => looked()?.copy()),
    registerCommand("camleaf.saveSvg", () => looked()?.save()),
    registerCommand("camleaf.writeUp", makeWriteUp),
    vscode.window.registerWebviewViewProvider(ControlsView.id, new ControlsView(keeper, context.extensionUri)),
    comesBack("drawing"),
    comesBack("chart"),
  );
}

/** Photos that a text's notes name, from its own folder or below, as addresses; what cannot be read is left out. */
async function photosBeside(text: vscode.Uri, paths: readonly string[]): Promise<Record<string, string>> {
  const found: Record<string, string> = {};
  if (text.scheme === "untitled") return found;
  for (const path of paths) {
    const kind = photoKind(path);
    if (!kind) continue;
    try {
      const bytes = await vscode.workspace.fs.readFile(vscode.Uri.joinPath(text, "..", path));
      found[path] = photoAddress(kind, bytes);
    } catch {
      // The page says that it is missing.
    }
  }
  return found;
}
