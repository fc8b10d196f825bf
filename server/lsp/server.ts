/**
 * The language server over any connection: process, worker or stream. Each handler turns positions into offsets, asks the
 * service, and turns the plain answer into the protocol's words.
 */
import type { Connection, InitializeParams } from "vscode-languageserver";
import { CodeLensRefreshRequest, DidChangeWatchedFilesNotification } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import {
  type AnalysisDone,
  analysisDone,
  type FindFilesParams,
  type FindFilesResult,
  findFiles,
  type ReadFileParams,
  type ReadFileResult,
  readFile,
} from "../protocol.ts";
import { type Platform, Service } from "../service.ts";
import { capabilities } from "./capabilities.ts";
import { toDiagnostic } from "./diagnostics.ts";
import { registerFeatures, type Told } from "./features.ts";
import { guardedNotice } from "./guard.ts";
import { Positions } from "./positions.ts";
import { type Settings, settingsOf } from "./settings.ts";

/** What the program that starts the server brings along; files come through the editor when it offers to read them. */
export type ServerPlatform = Platform;

export function serve(connection: Connection, home: ServerPlatform): void {
  let client: InitializeParams["capabilities"] = {};
  /** The editor reads files for us: it knows virtual file systems, and a worker has none. */
  let editorReads = false;
  let editorFinds = false;
  let tellWhenDone = false;
  const told: Told = {
    chosenStateChanged: false,
    hintRefresh: false,
    snippets: false,
    hints: "follow",
    lensRefresh: false,
    codeLens: true,
    drawing: {},
    compares: false,
  };
  const log = (line: string) => connection.console.log(line);
  const positions = new Positions();
  const documents = new Map<string, TextDocument>();

  const platform: Platform = {
    soon: home.soon,
    after: home.after,
    now: home.now,
    log,
    async readFile(uri) {
      if (!editorReads) return home.readFile(uri);
      const params: ReadFileParams = { uri };
      return (await connection.sendRequest<ReadFileResult>(readFile, params)).text;
    },
    async findFiles(folder) {
      if (!editorFinds) return (await home.findFiles?.(folder)) ?? [];
      const params: FindFilesParams = { folder };
      return (await connection.sendRequest<FindFilesResult>(findFiles, params)).uris;
    },
  };
  const service = new Service(platform, {
    publish({ file, version, text, findings }) {
      const textOf = (other: string) => service.textOf(other);
      const diagnostics = findings.map((finding) => toDiagnostic(finding, text, positions, textOf));
      void connection.sendDiagnostics({ uri: file, version, diagnostics });
    },
    done({ file, ...rest }) {
      const done: AnalysisDone = { uri: file, ...rest };
      // Told only to editors that have asked for a trace.
      const { version, milliseconds, missing } = rest;
      connection.tracer.log(`${file} (${version}) analysed in ${milliseconds.toFixed(0)} ms`, missing.join("\n"));
      if (tellWhenDone) void connection.sendNotification(analysisDone, done);
    },
    numbersCame: () => refresh(),
  });

  /** Answers that told no numbers yet may be asked for again. */
  const refresh = () => {
    if (told.hintRefresh) void connection.languages.inlayHint.refresh();
    if (told.lensRefresh) void connection.sendRequest(CodeLensRefreshRequest.type);
    if (client.workspace?.semanticTokens?.refreshSupport) void connection.languages.semanticTokens.refresh();
  };
  const applySettings = (settings: Settings) => {
    service.gravity = settings.findings;
    if (told.hints !== settings.hints && told.hintRefresh) void connection.languages.inlayHint.refresh();
    told.hints = settings.hints;
    if (told.codeLens !== settings.codeLens && told.lensRefresh)
      void connection.sendRequest(CodeLensRefreshRequest.type);
    told.codeLens = settings.codeLens;
    told.drawing = settings.drawing;
  };

  connection.onInitialize((params) => {
    client = params.capabilities;
    const options: unknown = params.initializationOptions;
    editorReads = isRecord(options) && options.readFile === true;
    editorFinds = isRecord(options) && options.findFiles === true;
    tellWhenDone = isRecord(options) && options.analysisDone === true;
    told.snippets = client.textDocument?.completion?.completionItem?.snippetSupport === true;
    told.compares = isRecord(options) && options.compares === true;
    told.chosenStateChanged = isRecord(options) && options.chosenState === true;
    if (isRecord(options)) applySettings(settingsOf(options.settings));
    service.watched = client.workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
    const folders = params.workspaceFolders ?? (params.rootUri ? [{ uri: params.rootUri }] : []);
    service.folders = folders.map((folder) => folder.uri);
    return { capabilities: capabilities(), serverInfo: { name: "camleaf" } };
  });

  connection.onInitialized(async () => {
    told.lensRefresh = client.workspace?.codeLens?.refreshSupport === true;
    told.hintRefresh = client.workspace?.inlayHint?.refreshSupport === true;
    if (client.workspace?.didChangeWatchedFiles?.dynamicRegistration) {
      await connection.client.register(DidChangeWatchedFilesNotification.type, {
        watchers: [{ globPattern: "**/*.camleaf" }],
      });
    }
    if (client.workspace?.workspaceFolders) {
      connection.workspace.onDidChangeWorkspaceFolders(async () => {
        const folders = (await connection.workspace.getWorkspaceFolders()) ?? [];
        service.folders = folders.map((folder) => folder.uri);
      });
    }
  });

  connection.onDidChangeConfiguration(
    guardedNotice(log, "settings", (params) => {
      const settings: unknown = params.settings;
      applySettings(settingsOf(isRecord(settings) && "camleaf" in settings ? settings.camleaf : settings));
    }),
  );

  connection.onDidOpenTextDocument(
    guardedNotice(log, "open", ({ textDocument: { uri, languageId, version, text } }) => {
      documents.set(uri, TextDocument.create(uri, languageId, version, text));
      service.put(uri, version, text);
    }),
  );
  connection.onDidChangeTextDocument(
    guardedNotice(log, "change", ({ textDocument: { uri, version }, contentChanges }) => {
      const document = documents.get(uri);
      if (!document) return log(`change of ${uri}, which is not open`);
      TextDocument.update(document, contentChanges, version);
      service.put(uri, version, document.getText());
    }),
  );
  connection.onDidCloseTextDocument(
    guardedNotice(log, "close", ({ textDocument: { uri } }) => {
      documents.delete(uri);
      service.close(uri);
      service.chosen.forget(uri);
    }),
  );
  connection.onDidChangeWatchedFiles(
    guardedNotice(log, "files", ({ changes }) => service.filesChanged(changes.map((change) => change.uri))),
  );

  registerFeatures({ connection, service, positions, log, told });
  connection.listen();
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}
