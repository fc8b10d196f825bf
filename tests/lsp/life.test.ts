/** What happens to a server in a long day: requests called off, a process killed, folders of many kinds, a log when asked for. */
import { once } from "node:events";
import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { CancellationTokenSource, type Diagnostic, type Location } from "vscode-languageserver-protocol/node";
import { generatedText } from "../bench/texts.ts";
import { buildServer, Session } from "./session.ts";

let server: string;
beforeAll(async () => {
  server = await buildServer();
});

const heater = `supply single 120 V 60 Hz
switch SW 1 to 2 closed in on, open in off rated 5 A 125 V
heater HT 1200 W 120 V
wire L to SW to HT to N
`;
const said = (found: readonly Diagnostic[]) => found.map(({ code, range }) => `${range.start.line} ${code}`).sort();
const hoverAt = (uri: string, line: number, character: number) => ({
  textDocument: { uri },
  position: { line, character },
});

describe("requests called off", () => {
  it("are answered as such while they still wait for numbers, and the server goes on", async () => {
    const session = await new Session(server).start();
    const uri = "file:///bench/long.camleaf";
    // Long enough that the numbers cannot be there yet.
    const long = generatedText(1_000).text;
    await session.put(uri, long);
    const line = long.slice(0, long.indexOf("\nheater ")).split("\n").length;
    const order: string[] = [];
    const sources = Array.from({ length: 20 }, () => new CancellationTokenSource());
    const asked = sources.map(({ token }) =>
      session.connection.sendRequest("textDocument/hover", hoverAt(uri, line, 8), token).then(
        () => order.push("answered"),
        (error: { code: number }) => order.push(String(error.code)),
      ),
    );
    for (const source of sources) source.cancel();
    const last = session.request("textDocument/hover", hoverAt(uri, line, 8)).then(() => order.push("last"));
    await Promise.all([...asked, last]);
    expect(order).toEqual([...sources.map(() => "-32800"), "last"]);
    expect(await session.end()).toBe(0);
  });
});

describe("a server that was killed", () => {
  it("begins anew with the text as it stands in the editor, and shows the same", async () => {
    const uri = "untitled:Untitled-1";
    const first = await new Session(server).start();
    await first.put(uri, heater);
    await first.put(uri, heater.replace("1200 W", "2400 W"));
    const before = await first.diagnostics(uri, (p) => p.version === 2 && p.diagnostics.length > 1);
    expect(said(before)).toContain("1 contact-over-rating");
    await first.put(uri, heater); // killed in the middle of this one
    const exit = once(first.child, "exit");
    first.child.kill("SIGKILL");
    await exit;
    first.connection.dispose();

    // What an editor does then: a new process, and all that is open.
    const second = await new Session(server).start();
    await second.put(uri, heater.replace("1200 W", "2400 W"));
    const after = await second.diagnostics(uri, (p) => p.diagnostics.length === before.length);
    expect(said(after)).toEqual(said(before));
    expect(await second.end()).toBe(0);
  });

  it("ends by itself when its editor is gone", async () => {
    const session = await new Session(server).start();
    const exit = once(session.child, "exit");
    session.child.stdin?.end();
    await exit;
    session.connection.dispose();
  });
});

describe("workspaces", () => {
  const using = 'use "parts.camleaf"\nsupply single 120 V 60 Hz\nheater HT of type H5\nwire L to HT to N\n';
  const part = (watts: number) => `type H5 heater { ${watts} W 120 V }\n`;

  it("of several folders: each file sees the parts beside it, and no others", async () => {
    const root = mkdtempSync(join(tmpdir(), "camleaf-roots-"));
    for (const [name, watts] of [
      ["one", 1200],
      ["two", 600],
    ] as const) {
      mkdirSync(join(root, name));
      writeFileSync(join(root, name, "parts.camleaf"), part(watts));
    }
    const uri = (name: string) => pathToFileURL(join(root, name)).href;
    const session = await new Session(server).start({
      workspaceFolders: [
        { uri: uri("one"), name: "one" },
        { uri: uri("two"), name: "two" },
      ],
    });
    for (const [name, amps] of [
      ["one", "10 A"],
      ["two", "5 A"],
    ] as const) {
      const main = `${uri(name)}/main.camleaf`;
      await session.put(main, using);
      await session.diagnostics(main, (p) => !p.diagnostics.some(({ code }) => code === "unknown-type"));
      const hover = await session.request("textDocument/hover", hoverAt(main, 2, 8));
      expect(JSON.stringify(hover)).toContain(amps);
      const [given] = await session.request<Location[]>("textDocument/definition", hoverAt(main, 2, 19));
      expect(given?.uri).toBe(`${uri(name)}/parts.camleaf`);
    }
    // A file of one folder may not reach into the next.
    const across = `${uri("one")}/across.camleaf`;
    await session.put(across, using.replace("parts.camleaf", "../two/parts.camleaf"));
    const found = await session.diagnostics(across, (p) => p.diagnostics.some(({ range }) => range.start.line === 0));
    expect(said(found).filter((each) => each.startsWith("0 use-"))).toHaveLength(1);
    await session.end();
  });

  it("that are virtual: read through the editor, asked for with the address as it is", async () => {
    const root = "vscode-vfs://bench/shop%20floor";
    const session = new Session(server);
    const read: string[] = [];
    session.connection.onRequest("camleaf/readFile", ({ uri }: { uri: string }) => {
      read.push(uri);
      return { text: part(1200) };
    });
    session.connection.onRequest("camleaf/findFiles", ({ folder }: { folder: string }) => ({
      uris: [`${folder}/parts.camleaf`],
    }));
    await session.start({
      workspaceFolders: [{ uri: root, name: "shop" }],
      initializationOptions: { readFile: true, findFiles: true },
    });
    const main = `${root}/main.camleaf`;
    await session.put(main, using);
    const renamed = await session.request<{ changes: object }>("textDocument/rename", {
      ...hoverAt(main, 2, 19),
      newName: "H6",
    });
    expect(Object.keys(renamed.changes)).toEqual([main, `${root}/parts.camleaf`]);
    expect([...new Set(read)]).toEqual([`${root}/parts.camleaf`]);
    await session.end();
  });

  it("that are none: an untitled text has everything but other files", async () => {
    const session = await new Session(server).start();
    const uri = "untitled:Untitled-1";
    await session.put(uri, heater);
    const found = await session.diagnostics(uri, (p) => p.diagnostics.length > 1);
    expect(said(found)).toContain("1 contact-over-rating");
    expect(JSON.stringify(await session.request("textDocument/hover", hoverAt(uri, 2, 8)))).toContain("10 A");
    const renamed = await session.request<{ changes: object }>("textDocument/rename", {
      ...hoverAt(uri, 2, 8),
      newName: "COIL",
    });
    expect(Object.keys(renamed.changes)).toEqual([uri]);
    await session.put(uri, `use "parts.camleaf"\n${heater}`);
    const told = await session.diagnostics(uri, (p) => p.version === 2);
    expect(said(told).some((each) => each.startsWith("0 use-"))).toBe(true);
    await session.end();
  });
});

describe("the log", () => {
  it("is silent on an ordinary day, and told what a trace asks for", async () => {
    const session = new Session(server);
    const traced: string[] = [];
    session.connection.onNotification("$/logTrace", ({ message }: { message: string }) => void traced.push(message));
    const waiting: (() => void)[] = [];
    session.connection.onNotification("camleaf/analysisDone", () => waiting.shift()?.());
    const analysed = async (text: string) => {
      const done = new Promise<void>((tell) => waiting.push(tell));
      await session.put("file:///bench/a.camleaf", text);
      await done;
    };
    await session.start({ trace: "verbose", initializationOptions: { analysisDone: true } });
    await analysed(heater);
    expect(session.log).toEqual([]);
    expect(traced.some((line) => /a\.camleaf \(1\) analysed in \d+ ms/.test(line))).toBe(true);
    await session.connection.sendNotification("$/setTrace", { value: "off" });
    const before = traced.length;
    await analysed(`${heater}# quiet\n`);
    expect(traced.length).toBe(before);
    // What goes wrong is told in the log, with the name of the request, and answered all the same.
    await session.request("textDocument/hover", { textDocument: { uri: 7 }, position: null }).catch(() => null);
    expect(session.recording.received.some(({ method }) => method?.startsWith("window/show"))).toBe(false);
    await session.end();
  });
});
