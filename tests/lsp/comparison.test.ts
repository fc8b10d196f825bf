/** A proposal beside its machine over the protocol, and the line above it that leads there where the editor has the command. */
import { readFileSync } from "node:fs";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { CodeAction, CodeLens } from "vscode-languageserver-protocol";
import { TextDocument } from "vscode-languageserver-textdocument";
import { type ComparisonResult, comparison } from "../../server/protocol.ts";
import { NearSession } from "./in-process.ts";

const dryer = readFileSync("samples/electric-dryer.camleaf", "utf8");
const uri = "file:///bench/dryer.camleaf";
const text = `${dryer}\nproposal "jumped" {\n  jumper CT.1 to CT.2\n}\nproposal "cannot" {\n  remove XX\n}\n`;
const lineOf = (words: string) => text.slice(0, text.indexOf(words)).split("\n").length - 1;
let session: NearSession;
beforeAll(async () => {
  session = await new NearSession().start({ compares: true });
  await session.open(uri, 1, text);
});
afterAll(() => session.end());
const ask = (params: object) => session.connection.sendRequest<ComparisonResult | null>(comparison, { uri, ...params });

test("the proposal at the caret, its rows with places in the text", async () => {
  const found = (await ask({ at: { line: lineOf('"jumped"'), character: 3 } }))!;
  expect(found).toMatchObject({ proposals: ["jumped", "cannot"], proposal: 0, machine: "Larkfield D5 electric dryer" });
  expect(found.headline).toMatch(/^DANGER: CT/);
  expect(found.rows[0]!.place).toMatchObject({ uri, range: { start: { line: lineOf("jumper CT") } } });
  expect(found.before!.svg).toMatch(/^<svg /);
  expect(`${found.before!.svg}${found.after!.svg}`).not.toContain("<style");
});

test("one that cannot be carried out says why, at its edit", async () => {
  const found = (await ask({ proposal: 1 }))!;
  expect(found.before).toBeUndefined();
  expect(found.cannot).toMatchObject([{ place: { uri, range: { start: { line: lineOf("remove XX") } } } }]);
});

test("the line above a proposal opens it", async () => {
  const lenses = (await session.request("textDocument/codeLens", { textDocument: { uri } })) as CodeLens[];
  const own = lenses.find(({ range }) => range.start.line === lineOf('"jumped"'))!;
  const { command } = (await session.request("codeLens/resolve", own)) as CodeLens;
  expect(command).toMatchObject({ command: "camleaf.compareProposal", arguments: [uri, lineOf('"jumped"')] });
  expect(command!.title).toMatch(/^DANGER: CT/);
});

test("a text without a proposal has none", async () => {
  await session.open("file:///bench/plain.camleaf", 1, dryer);
  expect(await session.connection.sendRequest(comparison, { uri: "file:///bench/plain.camleaf" })).toBeNull();
});

test("a proposal in a file of its own is written into the machine's file, and leaves its own", async () => {
  const [base, own] = ["file:///bench/base.camleaf", "file:///bench/own.camleaf"];
  const proposal =
    'use "base.camleaf"\n\ntype H9 heater "weak coil" 4800 W 240 V\n\nproposal "weaker" {\n  replace HT by type H9\n}\n';
  await session.open(base, 1, dryer);
  await session.open(own, 1, proposal);
  await session.findings(own, 1);
  const at = { line: 4, character: 12 };
  const actions = (await session.request("textDocument/codeAction", {
    textDocument: { uri: own },
    range: { start: at, end: at },
    context: { diagnostics: [] },
  })) as CodeAction[];
  const action = actions.find(({ title }) => title === 'Write "weaker" into the machine')!;
  const after = (text: string, uri: string) =>
    TextDocument.applyEdits(TextDocument.create(uri, "camleaf", 1, text), action.edit!.changes![uri]!);
  const written = after(dryer, base);
  expect(written).toContain('type H9 heater "weak coil" 4800 W 240 V\n');
  expect(written).toContain('heater HT "drying coil" of type H9');
  expect(after(proposal, own).trim()).toBe('use "base.camleaf"');
  await session.open("file:///bench/written.camleaf", 1, written);
  const errors = (await session.findings("file:///bench/written.camleaf", 1)).filter(({ severity }) => severity === 1);
  expect(errors.map(({ message }) => message)).toEqual([]);
});
