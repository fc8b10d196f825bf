/** A language server in a process of its own and an editor's side of the talk with it, over real stdio. */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { build } from "esbuild";
import {
  createProtocolConnection,
  type Diagnostic,
  type InitializeParams,
  type InitializeResult,
  IPCMessageReader,
  IPCMessageWriter,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  StreamMessageReader,
  StreamMessageWriter,
} from "vscode-languageserver-protocol/node";
import { Recording } from "./recording.ts";

const root = resolve(import.meta.dirname, "../..");

/** Bundles the server for these tests alone, so that they never meet a half-written dist/. */
export async function buildServer(): Promise<string> {
  const outfile = join(root, "tests/output/lsp", `server-${process.pid}-${Date.now()}.js`);
  mkdirSync(join(root, "tests/output/lsp"), { recursive: true });
  const entry = join(root, "server/node/main.ts");
  await build({ entryPoints: [entry], outfile, bundle: true, platform: "node", target: "node20", logLevel: "error" });
  return outfile;
}

export class Session {
  readonly connection: ProtocolConnection;
  readonly child: ChildProcess;
  /** Everything published, in order. */
  readonly published: PublishDiagnosticsParams[] = [];
  readonly log: string[] = [];
  /** Everything that went over stdio; nothing over the other channel. */
  readonly recording = new Recording();
  capabilities: InitializeResult["capabilities"] = {};
  #versions = new Map<string, number>();
  #waiters: {
    readonly uri: string;
    readonly fits: (d: PublishDiagnosticsParams) => boolean;
    readonly tell: () => void;
  }[] = [];

  constructor(server: string, channel: "stdio" | "node-ipc" = "stdio") {
    const ipc = channel === "node-ipc";
    this.child = spawn(process.execPath, [server, `--${channel}`], {
      stdio: ipc ? ["ignore", "pipe", "pipe", "ipc"] : ["pipe", "pipe", "pipe"],
    });
    const { stdin, stdout, stderr } = this.child;
    stderr?.on("data", (data) => this.log.push(String(data)));
    if (ipc) {
      this.connection = createProtocolConnection(new IPCMessageReader(this.child), new IPCMessageWriter(this.child));
    } else {
      if (!stdin || !stdout) throw new Error("no pipes");
      this.recording.listen(stdout);
      const writer = new StreamMessageWriter(stdin);
      const write = writer.write.bind(writer);
      writer.write = (message) => {
        this.recording.sent.push(message);
        return write(message);
      };
      this.connection = createProtocolConnection(new StreamMessageReader(stdout), writer);
    }
    this.connection.onNotification("textDocument/publishDiagnostics", (params: PublishDiagnosticsParams) => {
      this.published.push(params);
      for (const waiter of [...this.#waiters]) if (waiter.uri === params.uri && waiter.fits(params)) waiter.tell();
    });
    this.connection.onNotification("window/logMessage", (params: { message: string }) => {
      this.log.push(params.message);
    });
    this.connection.onRequest("client/registerCapability", () => null);
    this.connection.listen();
  }

  async start(params: Partial<InitializeParams> = {}): Promise<this> {
    const result = await this.connection.sendRequest<InitializeResult>("initialize", {
      processId: process.pid,
      rootUri: null,
      capabilities: {},
      workspaceFolders: null,
      ...params,
    });
    this.capabilities = result.capabilities;
    await this.connection.sendNotification("initialized", {});
    return this;
  }

  /** Opens the document or sends its whole new text. */
  async put(uri: string, text: string): Promise<number> {
    const version = (this.#versions.get(uri) ?? 0) + 1;
    this.#versions.set(uri, version);
    if (version === 1) {
      const textDocument = { uri, languageId: "camleaf", version, text };
      await this.connection.sendNotification("textDocument/didOpen", { textDocument });
    } else {
      const params = { textDocument: { uri, version }, contentChanges: [{ text }] };
      await this.connection.sendNotification("textDocument/didChange", params);
    }
    return version;
  }

  /** The next publication for the document that fits, also one that has come already. */
  async diagnostics(uri: string, fits: (d: PublishDiagnosticsParams) => boolean = () => true): Promise<Diagnostic[]> {
    const there = () => this.published.findLast((p) => p.uri === uri && fits(p));
    if (!there()) {
      await new Promise<void>((tell, fail) => {
        const late = setTimeout(
          () => fail(new Error(`nothing published for ${uri}; log: ${this.log.join("\n")}`)),
          20_000,
        );
        this.#waiters.push({
          uri,
          fits,
          tell: () => {
            clearTimeout(late);
            tell();
          },
        });
      });
    }
    return there()?.diagnostics ?? [];
  }

  async request<Result>(method: string, params: object): Promise<Result> {
    return this.connection.sendRequest<Result>(method, params);
  }

  async end(): Promise<number | null> {
    if (this.child.exitCode === null) {
      const exit = once(this.child, "exit");
      await this.connection.sendRequest("shutdown");
      await this.connection.sendNotification("exit");
      await exit;
    }
    this.connection.dispose();
    return this.child.exitCode;
  }
}
