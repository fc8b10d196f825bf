/** One round trip over stdio for each group of features; what they answer in detail is tested in tests/editor. */
import { afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type {
  CodeAction,
  ColorInformation,
  CompletionList,
  DocumentLink,
  DocumentSymbol,
  FoldingRange,
  Location,
  SelectionRange,
  SemanticTokens,
  SemanticTokensDelta,
  SignatureHelp,
  SymbolInformation,
  WorkspaceEdit,
} from "vscode-languageserver-protocol";
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

  it("completes, with the text that a choice replaces", async () => {
    const found = await session.request<CompletionList>("textDocument/completion", at(9, 14));
    const coil = found.items.find(({ label }) => label === "HT.1");
    expect(coil?.textEdit).toEqual({
      range: { start: { line: 9, character: 13 }, end: { line: 9, character: 15 } },
      newText: "HT.1",
    });
    // The best stand first.
    expect(found.items.map(({ sortText }) => sortText)).toEqual(found.items.map(({ sortText }) => sortText).sort());
    const help = await session.request<SignatureHelp>("textDocument/signatureHelp", at(7, 28));
    expect(help.signatures[0]?.label).toMatch(/^heater NAME/);
  });

  it("colours names whole, by difference and by range, all the same", async () => {
    const full = await session.request<SemanticTokens>("textDocument/semanticTokens/full", { textDocument });
    await session.put(uri, text.replace("switch SW", "frame CAB\nswitch SW"));
    const delta = await session.request<SemanticTokensDelta>("textDocument/semanticTokens/full/delta", {
      textDocument,
      previousResultId: full.resultId,
    });
    const data = [...full.data];
    // Edits count in the old data, so the last comes first.
    for (const edit of [...delta.edits].reverse()) data.splice(edit.start, edit.deleteCount, ...(edit.data ?? []));
    const again = await session.request<SemanticTokens>("textDocument/semanticTokens/full", { textDocument });
    expect(data).toEqual(again.data);
    const range = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
    const ranged = await session.request<SemanticTokens>("textDocument/semanticTokens/range", { textDocument, range });
    expect(ranged.data).toEqual(again.data);
  });

  it("grows a selection, and finds parts over all open texts", async () => {
    const [grown] = await session.request<SelectionRange[]>("textDocument/selectionRange", {
      textDocument,
      positions: [{ line: 9, character: 14 }],
    });
    expect(grown?.range).toEqual({ start: { line: 9, character: 13 }, end: { line: 9, character: 15 } });
    let widest = grown;
    while (widest?.parent) widest = widest.parent;
    expect(widest?.range.start).toEqual({ line: 0, character: 0 });
    const symbols = await session.request<SymbolInformation[]>("workspace/symbol", { query: "ht" });
    expect(symbols.map(({ name, location }) => [name, location.uri])).toContainEqual(["HT", uri]);
  });

  it("shows wire colours, and what a link leads to", async () => {
    await session.put(uri, `${text}wire L1 to SW.A RD\nuse "parts.camleaf"\n`);
    const colours = await session.request<ColorInformation[]>("textDocument/documentColor", { textDocument });
    expect(colours.map(({ range }) => range.start.line)).toEqual([11]);
    const links = await session.request<DocumentLink[]>("textDocument/documentLink", { textDocument });
    expect(links.map(({ target }) => target)).toEqual(["file:///bench/parts.camleaf"]);
  });
});
