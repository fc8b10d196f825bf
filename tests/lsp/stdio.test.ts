/** The language server as any editor meets it: a process, and messages over its standard streams. */
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterEach, beforeAll, describe, expect, it } from "vitest";
import type { Diagnostic } from "vscode-languageserver-protocol";
import { buildServer, Session } from "./session.ts";

const uri = "file:///bench/a.camleaf";
const heater = `machine "Bench heater"
supply 120/240 V 60 Hz breaker 30 A
heater HT "coil" 5400 W 240 V
`;

let server: string;
let session: Session;
beforeAll(async () => {
  server = await buildServer();
});
afterEach(async () => {
  await session.end();
});
const start = async (...params: Parameters<Session["start"]>) => {
  session = new Session(server);
  await session.start(...params);
  return session;
};
const codes = (diagnostics: readonly Diagnostic[]) => diagnostics.map((d) => d.code);
const said = (d: Diagnostic) => (typeof d.message === "string" ? d.message : d.message.value);
const version = (n: number) => (p: { version?: number }) => p.version === n;

describe("over stdio", () => {
  it("answers initialize, counts UTF-16 and ends politely", async () => {
    const { capabilities } = await start();
    expect(capabilities).toMatchObject({ positionEncoding: "utf-16", textDocumentSync: { openClose: true } });
    expect(await session.end()).toBe(0);
  });

  it("finds what is wrong where it is, also behind an emoji", async () => {
    await start();
    await session.put(uri, `${heater}note HT "😀😀" wire L1 to HTX to L2\nwire L1 to HTX to L2 # 😀\n`);
    const found = await session.diagnostics(uri);
    const unknown = found.find((d) => /HTX/.test(said(d)) && d.range.start.line === 4);
    expect(unknown).toMatchObject({
      source: "camleaf",
      severity: 1,
      range: { start: { line: 4, character: 11 }, end: { line: 4, character: 14 } },
    });
  });

  it("follows edits inside a line, CRLF and emoji included", async () => {
    await start();
    await session.put(uri, `# 😀\r\n${heater.replaceAll("\n", "\r\n")}wire L1 to HT to L2\r\n`);
    const first = await session.diagnostics(uri);
    expect(first.filter((d) => d.severity === 1 && /HTX/.test(said(d)))).toEqual([]);
    // A letter typed behind HT, as an editor sends it.
    const at = { line: 4, character: 13 };
    await session.connection.sendNotification("textDocument/didChange", {
      textDocument: { uri, version: 2 },
      contentChanges: [{ range: { start: at, end: at }, text: "X" }],
    });
    const second = await session.diagnostics(uri, version(2));
    expect(second.find((d) => /HTX/.test(said(d)))?.range).toEqual({
      start: { line: 4, character: 11 },
      end: { line: 4, character: 14 },
    });
  });

  it("only ever tells of the newest text while typing is faster than the analysis", async () => {
    await start();
    for (let i = 0; i < 200; i++) await session.put(uri, `${heater}wire L1 to HT${"X".repeat(i % 7)} to L2\n# ${i}\n`);
    await session.put(uri, heater);
    await session.diagnostics(uri, version(201));
    const versions = session.published.map((p) => p.version ?? 0);
    expect(versions).toEqual([...versions].sort((a, b) => a - b));
    expect(codes(session.published.at(-1)?.diagnostics ?? [])).not.toContain("unknown-name");
  });

  it("clears a closed document", async () => {
    await start();
    await session.put(uri, "heater heater heater {");
    await session.diagnostics(uri, (p) => p.diagnostics.length > 0);
    await session.connection.sendNotification("textDocument/didClose", { textDocument: { uri } });
    await session.diagnostics(uri, (p) => p.version === undefined && p.diagnostics.length === 0);
    expect(session.published.at(-1)?.diagnostics).toEqual([]);
  });

  it("reads used files from disk for editors that do not offer to, and says which are missing", async () => {
    const folder = mkdtempSync(join(tmpdir(), "camleaf-used-"));
    const root = pathToFileURL(folder).href;
    writeFileSync(join(folder, "parts.camleaf"), "type H5 heater { 5400 W 240 V }\n");
    await start({ workspaceFolders: [{ uri: root, name: "used" }] });
    const text = (path: string) =>
      `use "${path}"\nmachine "M"\nsupply 120/240 V 60 Hz\nheater HT of type H5\nwire L1 to HT to L2\n`;
    const main = `${root}/main.camleaf`;
    await session.put(main, text("no.camleaf"));
    const missing = await session.diagnostics(main, (p) => p.diagnostics.some((d) => /no\.camleaf/.test(said(d))));
    expect(missing.some((d) => d.range.start.line === 0)).toBe(true);
    await session.put(main, text("parts.camleaf"));
    const found = await session.diagnostics(main, version(2));
    expect(found.filter((d) => /H5|parts\.camleaf/.test(said(d)))).toEqual([]);
  });

  it("reads used files through an editor that offers to, and tells it when all is done", async () => {
    session = new Session(server, "node-ipc");
    const asked: string[] = [];
    session.connection.onRequest("camleaf/readFile", ({ uri: wanted }: { uri: string }) => {
      asked.push(wanted);
      return { text: "type H5 heater { 5400 W 240 V }\n" };
    });
    const done = new Promise<unknown>((resolve) => session.connection.onNotification("camleaf/analysisDone", resolve));
    await session.start({ initializationOptions: { readFile: true, analysisDone: true } });
    const virtual = "memfs://box/machines/main.camleaf";
    await session.put(
      virtual,
      'use "parts.camleaf"\nmachine "M"\nsupply 120/240 V 60 Hz\nheater HT of type H5\nwire L1 to HT to L2\n',
    );
    expect(await done).toMatchObject({ uri: virtual, version: 1, complete: true, missing: [] });
    expect(asked).toEqual(["memfs://box/machines/parts.camleaf"]);
    expect((await session.diagnostics(virtual)).filter((d) => /H5/.test(said(d)))).toEqual([]);
  });

  it("survives messages that make no sense", async () => {
    await start();
    const { connection } = session;
    await connection.sendNotification("textDocument/didChange", {
      textDocument: { uri: "file:///never/opened", version: 3 },
      contentChanges: [{ text: "x" }],
    });
    await connection.sendNotification("textDocument/didClose", { textDocument: { uri: "file:///never/opened" } });
    await connection.sendNotification("textDocument/didOpen", {});
    await connection.sendNotification("workspace/didChangeConfiguration", { settings: { camleaf: { findings: 7 } } });
    await connection.sendNotification("camleaf/nonsense", { x: 1 });
    await session.put(uri, "wire L1 to HTX\n");
    expect((await session.diagnostics(uri, (p) => p.diagnostics.length > 0)).length).toBeGreaterThan(0);
  });
});
