import { existsSync, readFileSync } from "node:fs";
import { builtinModules } from "node:module";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { type Packed, packExtension } from "../support/pack-extension.ts";
import { importsOf } from "./imports.ts";

/** Names in a zip archive, from its central directory (PKWARE APPNOTE 4.3.12). */
function namesInZip(zip: Buffer): string[] {
  const end = zip.lastIndexOf(Buffer.from([0x50, 0x4b, 5, 6]));
  const names: string[] = [];
  let at = zip.readUInt32LE(end + 16);
  for (let left = zip.readUInt16LE(end + 10); left > 0; left--) {
    const [name, extra, comment] = [28, 30, 32].map((offset) => zip.readUInt16LE(at + offset)) as [
      number,
      number,
      number,
    ];
    names.push(zip.toString("utf8", at + 46, at + 46 + name));
    at += 46 + name + extra + comment;
  }
  return names;
}

interface Manifest {
  main: string;
  browser: string;
  icon: string;
  contributes: {
    languages: { configuration: string }[];
    grammars: { path: string }[];
    commands: { command: string }[];
    walkthroughs: { steps: { media: { markdown: string }; description: string }[] }[];
  };
}

describe("the packed extension", () => {
  let packed: Packed;
  let names: string[];
  let size: number;
  beforeAll(() => {
    packed = packExtension("packed");
    const zip = readFileSync(packed.vsix);
    size = zip.length;
    names = namesInZip(zip);
  });
  const bundle = (name: string) => readFileSync(join(packed.folder, "dist", name), "utf8");

  it("is small", () => {
    expect(size).toBeLessThan(1_500_000);
  });

  it("holds what it runs and nothing else", () => {
    expect(names.sort()).toEqual(
      [
        "[Content_Types].xml",
        "extension.vsixmanifest",
        "extension/LICENSE.txt",
        "extension/changelog.md",
        "extension/client/icon.png",
        "extension/client/language-configuration.json",
        "extension/client/pictures/chart.png",
        "extension/client/pictures/drawing.png",
        "extension/client/view-icon.svg",
        "extension/client/walkthrough.md",
        "extension/dist/desktop.js",
        "extension/dist/server-worker.js",
        "extension/dist/server.js",
        "extension/dist/web.js",
        "extension/dist/webview.css",
        "extension/dist/webview.js",
        "extension/grammar/camleaf.tmLanguage.json",
        "extension/package.json",
        "extension/readme.md",
        "extension/samples/electric-dryer.camleaf",
        "extension/samples/fan-heater.camleaf",
        "extension/samples/gas-burner.camleaf",
      ].sort(),
    );
  });

  it("has every file that its manifest names", () => {
    const manifest = JSON.parse(readFileSync(join(packed.folder, "package.json"), "utf8")) as Manifest;
    const { languages, grammars, walkthroughs } = manifest.contributes;
    const named = [manifest.main, manifest.browser, manifest.icon];
    named.push(...languages.map((l) => l.configuration), ...grammars.map((g) => g.path));
    named.push(...walkthroughs.flatMap((w) => w.steps.map((step) => step.media.markdown)));
    expect(named.filter((file) => !existsSync(join(packed.folder, file)))).toEqual([]);
  });

  it("runs every command that its manifest offers", () => {
    const manifest = JSON.parse(readFileSync(join(packed.folder, "package.json"), "utf8")) as Manifest;
    const ids = manifest.contributes.commands.map(({ command }) => command);
    for (const name of ["desktop.js", "web.js"]) {
      expect(ids.filter((id) => !bundle(name).includes(`"${id}"`))).toEqual([]);
    }
  });

  it("runs in a browser: the worker and the web extension ask for no Node module", () => {
    const asked = (name: string) => [...new Set(importsOf(bundle(name)).map(({ from }) => from))];
    expect(asked("web.js")).toEqual(["vscode"]);
    expect(asked("server-worker.js")).toEqual([]);
    for (const name of ["web.js", "server-worker.js"]) expect(bundle(name)).not.toMatch(/["'`]node:/);
    // The same question asked of the process bundles finds them, so it can fail.
    expect(asked("server.js").some((from) => builtinModules.includes(from.replace("node:", "")))).toBe(true);
  });
});
