/** VS Code for the web: the server runs in a worker. */
import { type ExtensionContext, Uri } from "vscode";
import { type BaseLanguageClient, LanguageClient } from "vscode-languageclient/browser";
import { activateWith } from "./extension.ts";

let client: BaseLanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const address = Uri.joinPath(context.extensionUri, "dist/server-worker.js").toString(true);
  client = await activateWith(
    context,
    // A function: a restart needs a worker of its own.
    (options) => new LanguageClient("camleaf", "Camleaf", async () => new Worker(address), options),
  );
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}
