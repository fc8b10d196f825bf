/** A language server and an editor's side of the talk in one process: as over stdio, but quick to start by the hundred. */
import { PassThrough } from "node:stream";
import { createConnection, ProposedFeatures } from "vscode-languageserver/node";
import {
  createProtocolConnection,
  type Diagnostic,
  type InitializeResult,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
} from "vscode-languageserver-protocol/node";
import { serve } from "../../server/lsp/server.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { type AnalysisDone, analysisDone } from "../../server/protocol.ts";

export class NearSession {
  readonly connection: ProtocolConnection;
  readonly log: string[] = [];
  capabilities: InitializeResult["capabilities"] = {};
  #done = new Map<string, number>();
  #times = new Map<string, number>();
  #diagnostics = new Map<string, readonly Diagnostic[]>();
  #waiting: (() => void)[] = [];

  constructor() {
    const there = new PassThrough();
    const back = new PassThrough();
    serve(createConnection(ProposedFeatures.all, new StreamMessageReader(there), new StreamMessageWriter(back)), {
      ...nodePlatform,
      readFile: async () => undefined,
    });
    this.connection = createProtocolConnection(new StreamMessageReader(back), new StreamMessageWriter(there));
    this.connection.onNotification("textDocument/publishDiagnostics", (params: PublishDiagnosticsParams) => {
      this.#diagnostics.set(params.uri, params.diagnostics);
    });
    this.connection.onNotification(analysisDone, ({ uri, version }: AnalysisDone) => {
      this.#done.set(uri, version);
      this.#times.set(uri, this.timesDone(uri) + 1);
      for (const tell of this.#waiting.splice(0)) tell();
    });
    this.connection.onNotification("window/logMessage", ({ message }: { message: string }) => {
      this.log.push(message);
    });
    this.connection.listen();
  }

  async start(options: object = {}): Promise<this> {
    const result = await this.connection.sendRequest<InitializeResult>("initialize", {
      processId: null,
      rootUri: null,
      capabilities: {},
      initializationOptions: { analysisDone: true, ...options },
    });
    this.capabilities = result.capabilities;
    await this.connection.sendNotification("initialized", {});
    return this;
  }

  open(uri: string, version: number, text: string): Promise<void> {
    const textDocument = { uri, languageId: "camleaf", version, text };
    return this.connection.sendNotification("textDocument/didOpen", { textDocument });
  }

  change(uri: string, version: number, contentChanges: readonly object[]): Promise<void> {
    const textDocument = { uri, version };
    return this.connection.sendNotification("textDocument/didChange", { textDocument, contentChanges });
  }

  request(method: string, params: object): Promise<unknown> {
    return this.connection.sendRequest(method, params);
  }

  /** What is shown for the document once everything is known of that version. */
  async findings(uri: string, version: number): Promise<readonly Diagnostic[]> {
    while (this.#done.get(uri) !== version) await new Promise<void>((tell) => this.#waiting.push(tell));
    return this.#diagnostics.get(uri) ?? [];
  }

  /** How often the document was analysed to the end. */
  timesDone(uri: string): number {
    return this.#times.get(uri) ?? 0;
  }

  /** What is shown for the document once it was analysed that often. */
  async findingsAfter(uri: string, times: number): Promise<readonly Diagnostic[]> {
    while (this.timesDone(uri) < times) await new Promise<void>((tell) => this.#waiting.push(tell));
    return this.#diagnostics.get(uri) ?? [];
  }

  end(): void {
    this.connection.dispose();
  }
}
