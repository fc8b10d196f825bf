/** The frame of every view's page: a strict content security policy, one script and one style sheet of our own, nothing from the network. */
import * as vscode from "vscode";
import type { Keeper } from "./keeper.ts";
import type { FromPage, PageKind, ToPage } from "./webview/messages.ts";

export function webviewOptions(extension: vscode.Uri): vscode.WebviewOptions {
  return { enableScripts: true, localResourceRoots: [vscode.Uri.joinPath(extension, "dist")] };
}

/** A panel beside the text that keeps the focus: `Circuit: dryer.camleaf`. */
export function panelBeside(
  extension: vscode.Uri,
  viewType: string,
  title: string,
  { path }: vscode.Uri,
): vscode.WebviewPanel {
  const panel = vscode.window.createWebviewPanel(
    viewType,
    `${title}: ${path.slice(path.lastIndexOf("/") + 1)}`,
    { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
    { ...webviewOptions(extension), retainContextWhenHidden: true },
  );
  panel.iconPath = vscode.Uri.joinPath(extension, "client/icon.png");
  return panel;
}

/** Looks again after each analysis of the text, as long as the panel is there. */
export function lookAfterAnalysis(keeper: Keeper, uri: vscode.Uri, panel: vscode.WebviewPanel, look: () => void): void {
  const listening = keeper.onDidChange(({ uri: changed, why }) => {
    if (changed === uri.toString() && why === "analysed") look();
  });
  panel.onDidDispose(() => listening.dispose());
}

/** An answer that may take long: past a second the page says what is being done, until its sender is told otherwise. */
export async function saidWhenSlow<T>(send: (message: ToPage) => void, words: string, answer: Promise<T>): Promise<T> {
  const slow = setTimeout(() => send({ show: "busy", words }), 1000);
  const found = await answer;
  clearTimeout(slow);
  return found;
}

/** Fills the webview and answers a sender; messages sent before the page is ready wait for it. */
export function openPage(
  webview: vscode.Webview,
  extension: vscode.Uri,
  kind: PageKind,
  title: string,
  heard: (message: FromPage) => void,
): (message: ToPage) => void {
  let waiting: ToPage[] | undefined = [];
  webview.onDidReceiveMessage((message: FromPage) => {
    if (message.tell === "ready") {
      for (const one of waiting ?? []) void webview.postMessage(one);
      waiting = undefined;
    }
    heard(message);
  });
  webview.html = html(webview, extension, kind, title);
  return (message) => {
    if (waiting) waiting.push(message);
    else void webview.postMessage(message);
  };
}

function html(webview: vscode.Webview, extension: vscode.Uri, kind: PageKind, title: string): string {
  const address = (file: string) => webview.asWebviewUri(vscode.Uri.joinPath(extension, "dist", file)).toString();
  const nonce = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) =>
    byte.toString(16).padStart(2, "0"),
  ).join("");
  // Pictures of the page's own making, which become PNG; none can be fetched.
  const policy = `default-src 'none'; style-src ${webview.cspSource}; script-src 'nonce-${nonce}'; img-src data:`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<link rel="stylesheet" href="${address("webview.css")}">
</head>
<body data-view="${kind}">
<div id="notice" role="status"><p>Reading the machine.</p></div>
<main id="page" hidden></main>
<script nonce="${nonce}" src="${address("webview.js")}"></script>
</body>
</html>`;
}
