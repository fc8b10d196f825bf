/** VS Code for the web: the server runs in a worker. */
import { type ExtensionContext, Uri } from "vscode";
import {
  type BaseLanguageClient,
  BrowserMessageReader,
  BrowserMessageWriter,
  LanguageClient,
} from "vscode-languageclient/browser";
import { activateWith } from "./extension.ts";

let client: BaseLanguageClient | undefined;
let worker: Worker | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const address = Uri.joinPath(context.extensionUri, "dist/server-worker.js").toString(true);
  // A function, since a restart needs a new worker; its two channels, since an extension's `Worker` is the editor's own
  // stand-in, which the client library does not recognise as one.
  const start = async () => {
    worker?.terminate();
    worker = new Worker(address);
    return { reader: new BrowserMessageReader(worker), writer: new BrowserMessageWriter(worker) };
  };
  client = await activateWith(context, (options) => new LanguageClient("camleaf", "Camleaf", start, options));
}

export async function deactivate(): Promise<void> {
  await client?.stop();
  worker?.terminate();
}
