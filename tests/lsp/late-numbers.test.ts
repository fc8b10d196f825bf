/** Answers that had to be given before the numbers were there are asked for again, by editors that can. */
import { PassThrough } from "node:stream";
import { describe, expect, it } from "vitest";
import { createConnection, ProposedFeatures } from "vscode-languageserver/node";
import {
  createProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from "vscode-languageserver-protocol/node";
import { serve } from "../../server/lsp/server.ts";
import { nodePlatform } from "../../server/node/platform.ts";

const uri = "file:///bench/a.camleaf";
const text = "supply single 120 V 60 Hz\nheater HT 1200 W 120 V\nwire L to HT to N\n";
const range = { start: { line: 0, character: 0 }, end: { line: 9, character: 0 } };

/** A server that loses patience at once: nobody waits for numbers. */
async function impatient(refreshSupport: boolean) {
  const there = new PassThrough();
  const back = new PassThrough();
  serve(createConnection(ProposedFeatures.all, new StreamMessageReader(there), new StreamMessageWriter(back)), {
    ...nodePlatform,
    after(_milliseconds, job) {
      let wanted = true;
      queueMicrotask(() => wanted && job());
      return () => {
        wanted = false;
      };
    },
  });
  const connection = createProtocolConnection(new StreamMessageReader(back), new StreamMessageWriter(there));
  const asked: string[] = [];
  const refreshed = new Promise<void>((done) => {
    for (const kind of ["inlayHint", "codeLens", "semanticTokens"])
      connection.onRequest(`workspace/${kind}/refresh`, () => {
        asked.push(kind);
        if (asked.length === 3) done();
        return null;
      });
  });
  connection.listen();
  const support = { refreshSupport };
  await connection.sendRequest("initialize", {
    processId: null,
    rootUri: null,
    capabilities: { workspace: { inlayHint: support, codeLens: support, semanticTokens: support } },
    initializationOptions: { analysisDone: true },
  });
  const analysed = new Promise((done) => connection.onNotification("camleaf/analysisDone", done));
  await connection.sendNotification("initialized", {});
  const textDocument = { uri, languageId: "camleaf", version: 1, text };
  await connection.sendNotification("textDocument/didOpen", { textDocument });
  const hints = () => connection.sendRequest("textDocument/inlayHint", { textDocument: { uri }, range });
  return { connection, asked, refreshed, analysed, hints };
}

describe("numbers that come late", () => {
  it("are asked for again", async () => {
    const { connection, asked, refreshed, hints } = await impatient(true);
    expect(await hints()).toEqual([]);
    await refreshed;
    expect(asked.sort()).toEqual(["codeLens", "inlayHint", "semanticTokens"]);
    expect(await hints()).toMatchObject([{ label: "10 A" }]);
    await connection.sendRequest("textDocument/inlayHint", { textDocument: { uri }, range });
    expect(asked.length).toBe(3);
    connection.dispose();
  });

  it("but not of an editor that cannot", async () => {
    const { connection, asked, analysed, hints } = await impatient(false);
    expect(await hints()).toEqual([]);
    await analysed;
    expect(await hints()).toHaveLength(1);
    expect(asked).toEqual([]);
    connection.dispose();
  });
});
