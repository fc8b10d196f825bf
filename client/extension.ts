/** What the desktop and the web extension share: the language client, its commands and its status item. */
import * as vscode from "vscode";
import type { BaseLanguageClient, LanguageClientOptions } from "vscode-languageclient";
import { RevealOutputChannelOn } from "vscode-languageclient";
import {
  type AnalysisDone,
  analysisDone,
  type FindFilesParams,
  type FindFilesResult,
  findFiles,
  type ReadFileParams,
  type ReadFileResult,
  readFile,
} from "../server/protocol.ts";
import { ExpectationTests } from "./expectation-tests.ts";
import { Keeper } from "./keeper.ts";
import { registerSamples } from "./samples.ts";
import { StateItem, StatusItem } from "./status.ts";
import { registerViews } from "./views.ts";

/** Makes the client for a server in a process or in a worker; not yet started. */
export type MakeClient = (options: LanguageClientOptions) => BaseLanguageClient;

export async function activateWith(
  context: vscode.ExtensionContext,
  makeClient: MakeClient,
): Promise<BaseLanguageClient> {
  const log = vscode.window.createOutputChannel("Camleaf", { log: true });
  const status = new StatusItem();
  const client = makeClient({
    documentSelector: [{ language: "camleaf" }],
    outputChannel: log,
    // Trouble goes to the log; nothing pops up while a person types.
    revealOutputChannelOn: RevealOutputChannelOn.Never,
    synchronize: { configurationSection: "camleaf" },
    initializationOptions: {
      readFile: true,
      findFiles: true,
      analysisDone: true,
      chosenState: true,
      compares: true,
      settings: plainSettings(),
    },
  });
  const keeper = new Keeper(client);
  context.subscriptions.push(
    log,
    keeper,
    status,
    client.onRequest(readFile, read),
    client.onRequest(findFiles, find),
    client.onNotification(analysisDone, (done: AnalysisDone) => {
      status.done(done);
      keeper.analysed(done.uri);
    }),
    client.onDidChangeState(({ newState }) => status.server(newState)),
    vscode.workspace.onDidChangeTextDocument(({ document }) => status.changed(document)),
    vscode.commands.registerCommand("camleaf.restart", () => restart(client, log)),
    vscode.commands.registerCommand("camleaf.showLog", () => log.show()),
    registerSamples(context),
    registerViews(context, keeper),
    new ExpectationTests(keeper),
    new StateItem(keeper),
  );
  await client.start();
  return client;
}

/** A plain copy: the editor's own object holds functions and cannot be sent to a worker. */
function plainSettings(): unknown {
  return JSON.parse(JSON.stringify(vscode.workspace.getConfiguration("camleaf")));
}

async function restart(client: BaseLanguageClient, log: vscode.LogOutputChannel): Promise<void> {
  log.info("restarting the language server");
  try {
    await client.stop();
  } catch (error) {
    // A server that no longer answers cannot stop politely; the next one starts all the same.
    log.error(error instanceof Error ? error : String(error));
  }
  await client.start();
}

/** Text of a file that a `use` names: what is open counts first, then any file system that the editor knows. */
async function read({ uri }: ReadFileParams): Promise<ReadFileResult> {
  const target = vscode.Uri.parse(uri, true);
  const open = vscode.workspace.textDocuments.find((document) => document.uri.toString() === target.toString());
  if (open) return { text: open.getText() };
  try {
    return { text: new TextDecoder().decode(await vscode.workspace.fs.readFile(target)) };
  } catch {
    return {}; // missing or not readable: the server says so at the `use` line
  }
}

async function find({ folder }: FindFilesParams): Promise<FindFilesResult> {
  const pattern = new vscode.RelativePattern(vscode.Uri.parse(folder, true), "**/*.camleaf");
  const found = await vscode.workspace.findFiles(pattern, "**/node_modules/**", 2_000);
  return { uris: found.map((uri) => uri.toString()) };
}
