/** A whole session, from the first handshake to the end: every message of the server is what the protocol says. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { type CancellationToken, CancellationTokenSource } from "vscode-languageserver-protocol/node";
import type { StateWish } from "../../server/base/chosen-state.ts";
import { askAll, positionOf } from "./ask.ts";
import { ownMethods, wrongMessages } from "./message-types.ts";
import type { WireMessage } from "./recording.ts";
import { buildServer, Session } from "./session.ts";

const sample = (name: string) => readFileSync(new URL(`../../samples/${name}.camleaf`, import.meta.url), "utf8");
const uri = "file:///bench/dryer.camleaf";
let server: string;
beforeAll(async () => {
  server = await buildServer();
});

/** An editor that can do everything the server may ask of one. */
const everything = {
  textDocument: { publishDiagnostics: { relatedInformation: true, versionSupport: true } },
  workspace: {
    applyEdit: true,
    workspaceFolders: true,
    configuration: true,
    didChangeWatchedFiles: { dynamicRegistration: true },
    inlayHint: { refreshSupport: true },
    codeLens: { refreshSupport: true },
    semanticTokens: { refreshSupport: true },
  },
};

describe("every message of the server", () => {
  it("is of the protocol's type, over a whole session", async () => {
    const session = new Session(server);
    for (const method of ["inlayHint", "codeLens", "semanticTokens"])
      session.connection.onRequest(`workspace/${method}/refresh`, () => null);
    session.connection.onRequest("workspace/workspaceFolders", () => null);
    session.connection.onRequest("camleaf/readFile", () => ({}));
    session.connection.onRequest("camleaf/findFiles", ({ folder }: { folder: string }) => ({
      uris: [uri, `${folder}/gone.camleaf`],
    }));
    await session.start({
      capabilities: everything,
      workspaceFolders: [{ uri: "file:///bench", name: "bench" }],
      initializationOptions: { analysisDone: true, chosenState: true, readFile: true, findFiles: true },
    });
    const ask = (text: string, offset: number) =>
      askAll((method, params) => session.request(method, params), session.capabilities, uri, text, offset);

    // A sound machine: at names, values, charts and between words.
    const dryer = sample("electric-dryer");
    await session.put(uri, dryer);
    await session.diagnostics(uri);
    for (const word of ["DM", "HT", "in timed", "240 V", "wire", "chart", "1/3 hp", "rated"]) {
      const offset = dryer.indexOf(word);
      if (offset >= 0) await ask(dryer, offset + 1);
    }
    await askOurs(session, dryer);
    // The same with findings of every kind: an emoji, CRLF, an unknown name, a broken line, no use for a part.
    const broken = `use "no.camleaf"\r\n# 😀\r\n${dryer.replaceAll("\n", "\r\n")}wire L1 to HTX to 😀\r\nheater H9 "😀" 10 A 240 V\r\nswitch {\r\n`;
    await session.put(uri, broken);
    await session.diagnostics(uri, (p) => p.diagnostics.some((d) => d.code === "unknown-part"));
    for (const word of ["HTX", "H9", "no.camleaf", "switch {", "😀"]) await ask(broken, broken.lastIndexOf(word) + 1);
    // Edits inside the text, quicker than the answers.
    const end = positionOf(broken, broken.length);
    for (let i = 0; i < 20; i++) {
      void session.connection.sendNotification("textDocument/didChange", {
        textDocument: { uri, version: 3 + i },
        contentChanges: [{ range: { start: end, end }, text: "x" }],
      });
      void session.request("textDocument/hover", { textDocument: { uri }, position: end });
    }
    // Nonsense: documents that are not open, places that do not exist, methods that nobody has, names that cannot be.
    await askAll((m, p) => session.request(m, p), session.capabilities, "file:///bench/closed.camleaf", "", 0);
    await askAll((m, p) => session.request(m, p), session.capabilities, "untitled:Untitled-1", "x\n".repeat(99), 190);
    await expect(session.request("textDocument/nonsense", {})).rejects.toThrow();
    const far = { textDocument: { uri }, position: { line: 99_999, character: 99_999 } };
    await session.request("textDocument/hover", far);
    await expect(session.request("textDocument/rename", { ...far, newName: "a b" })).rejects.toThrow();
    await session.connection.sendNotification("workspace/didChangeConfiguration", {
      settings: { camleaf: { findings: { "loose-end": "off" } } },
    });
    await session.connection.sendNotification("workspace/didChangeWatchedFiles", {
      changes: [{ uri: "file:///bench/no.camleaf", type: 1 }],
    });
    await session.connection.sendNotification("workspace/didChangeWorkspaceFolders", {
      event: { added: [{ uri: "file:///other", name: "other" }], removed: [] },
    });
    // Called off before and while it is answered.
    const source = new CancellationTokenSource();
    const called = session.connection.sendRequest(
      "textDocument/references",
      { ...far, context: { includeDeclaration: true } },
      source.token satisfies CancellationToken,
    );
    source.cancel();
    await called.catch((error: unknown) => expect(error).toMatchObject({ code: -32800 }));
    await session.connection.sendNotification("textDocument/didClose", { textDocument: { uri } });
    await session.diagnostics(uri, (p) => p.version === undefined);
    expect(await session.end()).toBe(0);

    const { received } = session.recording;
    expect(received.length).toBeGreaterThan(100);
    expect(methodsOf(received)).toContain("client/registerCapability");
    expect(methodsOf([...received, ...session.recording.sent])).toEqual(expect.arrayContaining([...ownMethods]));
    // Nothing pops up, and nothing is told in the log unless asked for.
    expect(methodsOf(received)).not.toContain("window/showMessage");
    expect(methodsOf(received)).not.toContain("window/showMessageRequest");
    expect(session.log.filter((line) => /failed|uncaught|unhandled/.test(line))).toEqual([]);
    expect(await wrongMessages(session.recording)).toEqual([]);
  });

  it("asks nothing of an editor that can do nothing", async () => {
    const session = new Session(server);
    await session.start();
    const text = sample("electric-dryer");
    await session.put(uri, text);
    await session.diagnostics(uri);
    await askAll((m, p) => session.request(m, p), session.capabilities, uri, text, text.indexOf("HT"));
    await session.end();
    const asked = session.recording.received.filter(({ method, id }) => method !== undefined && id !== undefined);
    expect(asked).toEqual([]);
    expect(methodsOf(session.recording.received)).toEqual(["textDocument/publishDiagnostics"]);
    expect(await wrongMessages(session.recording)).toEqual([]);
  });
});

describe("a message that is not", () => {
  const place = { start: { line: 1, character: 2 }, end: { line: 1, character: 4 } };
  const diagnostic = { range: place, message: "m", severity: 1 };
  const publish = (more: object, params: object = {}): WireMessage => ({
    jsonrpc: "2.0",
    method: "textDocument/publishDiagnostics",
    params: { uri, diagnostics: [{ ...diagnostic, ...more }], ...params },
  });
  const answer = (result: unknown): WireMessage => ({ jsonrpc: "2.0", id: 1, result });
  const judged = (method: string, ...received: WireMessage[]) =>
    wrongMessages({ sent: [{ id: 1, method }], received, faults: [] } as never);

  it("is told, whatever is wrong with it", async () => {
    const wrong: [RegExp, string, WireMessage][] = [
      [/severity|assignable/, "shutdown", publish({ severity: 7 })],
      [/serverity/, "shutdown", publish({ serverity: 1 })],
      [/version/, "shutdown", publish({}, { version: "3" })],
      [/uri/, "shutdown", { jsonrpc: "2.0", method: "textDocument/publishDiagnostics", params: { diagnostics: [] } }],
      [/no uinteger/, "shutdown", publish({ range: { ...place, start: { line: 0.5, character: 0 } } })],
      [/ends before/, "shutdown", publish({ range: { start: place.end, end: place.start } })],
      [/unknown method/, "shutdown", { jsonrpc: "2.0", method: "camleaf/unheardOf", params: {} }],
      [/not for a server/, "shutdown", { jsonrpc: "2.0", id: 9, method: "textDocument/hover", params: {} }],
      [/JSON-RPC/, "shutdown", { ...publish({}), jsonrpc: "1.0" }],
      [/"content"/, "textDocument/hover", answer({ content: "x" })],
      [
        /assignable/,
        "textDocument/documentSymbol",
        answer([{ name: "HT", kind: 99, range: place, selectionRange: place }]),
      ],
      [/assignable/, "textDocument/foldingRange", answer([{ startLine: "1", endLine: 2 }])],
      [/assignable/, "initialize", answer({ capabilities: { hoverProvider: "yes" } })],
      [/nothing that was asked/, "shutdown", { jsonrpc: "2.0", id: 77, result: null }],
      [/neither/, "textDocument/hover", { jsonrpc: "2.0", id: 1 }],
      [/code and message/, "textDocument/hover", { jsonrpc: "2.0", id: 1, error: { code: 1.5, message: "x" } }],
    ];
    const sound: WireMessage[] = [publish({}), { jsonrpc: "2.0", id: 1, result: null }];
    expect(await judged("textDocument/hover", ...sound)).toEqual([]);
    const told = await Promise.all(wrong.map(([, method, message]) => judged(method, message)));
    for (const [index, [words, method, message]] of wrong.entries()) {
      const others = (line: string) => !line.startsWith("no answer to shutdown");
      expect(told[index]!.filter(others).join("\n"), `${method} ${JSON.stringify(message)}`).toMatch(words);
    }
    expect(await judged("textDocument/hover", answer(null), answer(null))).toEqual([
      "a second answer to textDocument/hover 1",
    ]);
    expect(await judged("textDocument/hover")).toEqual(["no answer to textDocument/hover 1"]);
  });
});

/** The requests that views beside the text make. */
async function askOurs(session: Session, text: string): Promise<void> {
  const ask = (method: string, params: object) => session.request(`camleaf/${method}`, { uri, ...params });
  const range = {
    start: positionOf(text, text.indexOf("HT to DM")),
    end: positionOf(text, text.indexOf(" to L2  RD")),
  };
  const wishes: (StateWish | undefined)[] = [
    undefined,
    { wish: "move", control: "DOOR", position: "open" },
    { wish: "move", control: "NOBODY", position: "open" },
    { wish: "press", control: "START" },
    { wish: "step", by: 1 },
    { wish: "names", positions: { TM: "auto 2" } },
    { wish: "rest" },
    { wish: "default" },
  ];
  for (const wish of wishes) await ask("chosenState", wish ? { wish } : {});
  await ask("drawing", { live: true });
  await ask("drawing", { live: false });
  await ask("chart", {});
  await ask("writeUp", {});
  await ask("bench", {});
  await ask("comparison", {});
  await ask("readings", { range });
  await ask("expectations", { judge: true });
}

function methodsOf(messages: readonly WireMessage[]): string[] {
  return [...new Set(messages.flatMap(({ method }) => method ?? []))];
}
