/** One round trip over stdio for each group of features; what they answer in detail is tested in tests/editor. */
import { afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { CodeAction, DocumentSymbol, FoldingRange, Location, WorkspaceEdit } from "vscode-languageserver-protocol";
import { buildServer, Session } from "./session.ts";

const uri = "file:///bench/a.camleaf";
const text = `# 😀 bench
# heater
supply 120/240 V 60 Hz
switch SW {
  positions shut open
  contact C to A in shut
}
heater HT "😀" 2400 W 240 V # 😀
wire L1 to SW.C
wire SW.A to HT to L2
wire HT.1 to HTT.2
`;

let server: string;
let session: Session;
beforeAll(async () => {
  server = await buildServer();
});
beforeEach(async () => {
  session = await new Session(server).start();
  await session.put(uri, text);
});
afterEach(async () => {
  await session.end();
});
const textDocument = { uri };
const at = (line: number, character: number) => ({ textDocument, position: { line, character } });

describe("over stdio", () => {
  it("goes to the definition and back to the references", async () => {
    const found = await session.request<Location[]>("textDocument/definition", at(9, 14));
    const declared = { start: { line: 7, character: 7 }, end: { line: 7, character: 9 } };
    expect(found).toEqual([{ uri, range: declared }]);
    const context = { includeDeclaration: false };
    const all = await session.request<Location[]>("textDocument/references", { ...at(7, 8), context });
    expect(all.map(({ range }) => range.start.line)).toEqual([9, 10]);
    const marks = await session.request<{ kind: number }[]>("textDocument/documentHighlight", at(7, 8));
    expect(marks.map(({ kind }) => kind)).toEqual([3, 2, 2]);
  });

  it("renames, or says why not", async () => {
    const prepared = await session.request("textDocument/prepareRename", at(9, 5));
    expect(prepared).toMatchObject({ placeholder: "SW" });
    const edit = await session.request<WorkspaceEdit>("textDocument/rename", { ...at(9, 5), newName: "DOOR" });
    expect(edit.changes?.[uri]?.map(({ range, newText }) => [range.start.line, newText])).toEqual([
      [3, "DOOR"],
      [8, "DOOR"],
      [9, "DOOR"],
    ]);
    await expect(session.request("textDocument/prepareRename", at(8, 6))).rejects.toThrow(/leg of the supply/);
    await expect(session.request("textDocument/rename", { ...at(9, 5), newName: "HT" })).rejects.toThrow(/HT/);
  });

  it("formats a document, a range and what was typed", async () => {
    const messy = "# 😀 bench\r\nswitch   SW {\r\npositions on off\r\n  }\r\n";
    await session.put(uri, messy);
    const options = { tabSize: 4, insertSpaces: true };
    const edits = (start: [number, number], end: [number, number], newText: string) => ({
      range: { start: { line: start[0], character: start[1] }, end: { line: end[0], character: end[1] } },
      newText,
    });
    const all = [edits([1, 6], [1, 9], " "), edits([2, 0], [2, 0], "  "), edits([3, 0], [3, 2], "")];
    const ask = (method: string, more: object = {}) =>
      session.request(`textDocument/${method}`, { textDocument, options, ...more });
    expect(await ask("formatting")).toEqual(all);
    const range = { start: { line: 2, character: 0 }, end: { line: 3, character: 0 } };
    expect(await ask("rangeFormatting", { range })).toEqual([all[1]]);
    expect(await ask("onTypeFormatting", { position: { line: 3, character: 3 }, ch: "}" })).toEqual(all);
  });

  it("gives outline and folds", async () => {
    const outline = await session.request<DocumentSymbol[]>("textDocument/documentSymbol", { textDocument });
    expect(outline.map(({ name }) => name)).toEqual(["supply 120/240 V 60 Hz", "SW", "HT"]);
    expect(outline[1]?.children?.map(({ name }) => name)).toEqual(["C to A"]);
    const folds = await session.request<FoldingRange[]>("textDocument/foldingRange", { textDocument });
    expect(folds).toEqual([
      { startLine: 0, endLine: 1, kind: "comment" },
      { startLine: 3, endLine: 5 },
    ]);
  });

  it("offers what mends a finding", async () => {
    await session.diagnostics(uri);
    const range = { start: { line: 10, character: 14 }, end: { line: 10, character: 14 } };
    const context = { diagnostics: [] };
    const actions = await session.request<CodeAction[]>("textDocument/codeAction", { textDocument, range, context });
    expect(actions[0]).toMatchObject({
      title: "Change to HT",
      kind: "quickfix",
      edit: { changes: { [uri]: [{ newText: "HT" }] } },
    });
  });
});
