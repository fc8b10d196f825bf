/** VS Code desktop: the server runs as a process of its own. */
import type { ExtensionContext } from "vscode";
import { type BaseLanguageClient, LanguageClient, TransportKind } from "vscode-languageclient/node";
import { activateWith } from "./extension.ts";

let client: BaseLanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const module = context.asAbsolutePath("dist/server.js");
  const run = { module, transport: TransportKind.ipc };
  const debug = { ...run, options: { execArgv: ["--nolazy", "--inspect=6009"] } };
  client = await activateWith(context, (options) => new LanguageClient("camleaf", "Camleaf", { run, debug }, options));
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}
