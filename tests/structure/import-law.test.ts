import { readdirSync, readFileSync } from "node:fs";
import { builtinModules } from "node:module";
import { dirname, join, relative, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { importsOf } from "./imports.ts";

const root = resolve(import.meta.dirname, "../..");

/** Rooms in the order in which data flows: each may import itself and the rooms before it. */
const rooms = [
  "server/base",
  "grammar",
  "server/machine",
  "server/circuit",
  "server/states",
  "server/checks",
  "server/meter",
  "server/proposals",
  "server/pictures",
  "server/writeup",
  "server/editor",
  "server/workspace",
  "server/service.ts",
  "server/lsp",
  "server/node",
  "server/browser",
  "server/cli",
  "client",
];
/** Rooms of one rank: they do not import each other. */
const ends = new Set(["server/node", "server/browser", "server/cli", "client"]);
const exceptions: Readonly<Record<string, readonly string[]>> = {
  // Types and names of the messages between the two sides.
  client: ["server/protocol.ts", "server/base"],
  "server/lsp": ["server/protocol.ts"],
  // The command line reads files the way the server process does.
  "server/cli": ["server/node"],
};
/** Packages and the rooms that may import them. */
const packages: readonly { readonly name: RegExp; readonly rooms: readonly string[] }[] = [
  { name: /^chevrotain$/, rooms: ["grammar"] },
  { name: /^@dagrejs\/graphlib$/, rooms: ["server/circuit", "server/states"] },
  { name: /^vscode-languageserver(-textdocument|-protocol|-types)?(\/|$)/, rooms: ["server/lsp"] },
  { name: /^vscode$|^vscode-languageclient(\/|$)/, rooms: ["client"] },
  { name: /^(commander|tinyglobby|sarif)$/, rooms: ["server/cli"] },
];
const roomsWithNode = ["server/node", "server/cli"];

function sources(folder: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.m?[tj]sx?$/.test(name))
    .map((name) => join(folder, name));
}

const roomOf = (file: string) => rooms.find((room) => file === room || file.startsWith(`${room}/`));
const isNode = (name: string) => name.startsWith("node:") || builtinModules.includes(name.split("/")[0] ?? "");

/** What is wrong with one import, or undefined. */
function broken(file: string, from: string): string | undefined {
  const room = roomOf(file) ?? "";
  if (!from.startsWith(".")) {
    if (isNode(from))
      return roomsWithNode.includes(room) ? undefined : "node: modules stay in server/node and server/cli";
    const law = packages.find(({ name }) => name.test(from));
    if (law) return law.rooms.includes(room) ? undefined : `only for ${law.rooms.join(", ")}`;
    return "a package no room is known to need: add it to this test with its rooms";
  }
  const target = relative(root, resolve(root, dirname(file), from));
  if (exceptions[room]?.some((allowed) => target === allowed || target.startsWith(`${allowed}/`))) return undefined;
  const other = roomOf(target);
  if (other === undefined) return "not in a room";
  if (other === room) return undefined;
  if (room === "client") return "client/ knows only server/protocol.ts and server/base";
  if (ends.has(room) && ends.has(other)) return `${room} and ${other} do not know each other`;
  return rooms.indexOf(other) < rooms.indexOf(room) ? undefined : `${other} comes after ${room}`;
}

const files = ["client", "grammar", "server"].flatMap(sources);
// Scripts that a developer runs by hand are no part of a room.
const ofRooms = files.filter((file) => file !== "server/protocol.ts" && !/\.mjs$/.test(file));

describe("the import law", () => {
  it("finds every kind of import, and no other text", () => {
    const text = `
      import a from "a"; import type { B } from 'b'; import "c";
      export { d } from "d"; export * as e from "e"; export type { F } from "f";
      const g = await import("g"); const h = require("h");
      // import i from "i"
      /* import j from "j" */
      const k = "import k from 'k'"; const l = \`import l from "l" \${import("m")} import "n"\`;
      const o = /import "o"/; x.import("p"); export const q = "q"; import r, { s } from "r";
      export default from_("t"); const u = 4 / 2; import "u"; type V = import("v").V;
      import w = require("w");`;
    const found = importsOf(text).map((one) => one.from);
    expect(found.sort()).toEqual(["a", "b", "c", "d", "e", "f", "g", "h", "m", "r", "u", "v", "w"].sort());
  });

  it("is known to object", () => {
    expect(broken("server/machine/index.ts", "../states/engine.ts")).toMatch(/comes after/);
    expect(broken("server/editor/hover.ts", "node:fs")).toMatch(/node:/);
    expect(broken("client/desktop.ts", "../server/service.ts")).toMatch(/client/);
    expect(broken("server/checks/check.ts", "@dagrejs/graphlib")).toMatch(/only for/);
    expect(broken("server/editor/hover.ts", "../circuit/circuit.ts")).toBeUndefined();
  });

  it("holds in every file", () => {
    expect(ofRooms.length).toBeGreaterThan(10);
    const faults: string[] = [];
    for (const file of ofRooms) {
      if (!roomOf(file)) faults.push(`${file}: in no room`);
      for (const { from, line } of importsOf(readFileSync(join(root, file), "utf8"))) {
        const fault = broken(file, from);
        if (fault) faults.push(`${file}:${line}: imports ${from}: ${fault}`);
      }
    }
    expect(faults).toEqual([]);
  });

  it("keeps the plain walk apart from the engine that it judges: no settling, no reaching, no search in common", () => {
    const known = new Set(sources("tests/oracle"));
    for (const file of known)
      for (const { from } of importsOf(readFileSync(join(root, file), "utf8")))
        if (from.startsWith(".")) known.add(relative(root, resolve(root, dirname(file), from)));
    expect(known.size).toBeGreaterThan(15);
    // Of the engines' room nothing but the interface; the solver of ONE state and what a machine is are common ground, proved elsewhere.
    const common = /^(tests\/oracle\/|server\/(base|machine|circuit)\/|grammar\/|server\/states\/engine\.ts$)/;
    expect([...known].filter((file) => !common.test(file))).toEqual([]);
    expect(importsOf(readFileSync(join(root, "server/states/engine.ts"), "utf8")).map(({ from }) => from)).toEqual([
      "../circuit/circuit.ts",
      "../machine/machine.ts",
    ]);
  });

  it("keeps time, files and editors out of the rooms before the workspace", () => {
    const faults = ofRooms.filter((file) => {
      if (rooms.indexOf(roomOf(file) ?? "") >= rooms.indexOf("server/workspace")) return false;
      const code = readFileSync(join(root, file), "utf8").replace(/\/\*[\s\S]*?\*\/|\/\/[^\n]*/g, "");
      return /\b(Date\.now|new Date|performance\.now|setTimeout|setInterval|setImmediate|process\.|document\.|window\.)/.test(
        code,
      );
    });
    expect(faults).toEqual([]);
  });

  it("keeps files small: one purpose each", () => {
    const lines = (file: string) => readFileSync(join(root, file), "utf8").split("\n").length;
    // What other tests write and take away while this one reads is left out before it is walked.
    const folders = readdirSync(join(root, "tests")).filter((name) => name !== "output");
    const tests = folders.flatMap((name) => sources(join("tests", name)));
    const long = [...files, ...tests].filter((file) => lines(file) > 500 && !/vocabulary|tree\.ts$/.test(file));
    expect(long).toEqual([]);
  });

  it("has no room without a file", () => {
    const empty = rooms.filter((room) => !room.endsWith(".ts") && !ofRooms.some((file) => file.startsWith(`${room}/`)));
    const planned = ["server/proposals", "server/pictures", "server/writeup"];
    expect(empty.filter((room) => !planned.includes(room))).toEqual([]);
  });
});
