// Bundles every program of the project into dist/ (esbuild). `--minify` for the packed extension, `--quiet` to print errors only,
// `--to=FOLDER` for another folder than dist, `--extension` for what the packed extension runs and nothing else.
import { existsSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { build } from "esbuild";

const minify = process.argv.includes("--minify");
const quiet = process.argv.includes("--quiet");
const folder = process.argv.find((arg) => arg.startsWith("--to="))?.slice(5) ?? "dist";
const extensionOnly = process.argv.includes("--extension");
if (extensionOnly) rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });

const { version } = JSON.parse(readFileSync("package.json", "utf8"));
const shared = { bundle: true, minify, sourcemap: !minify, logLevel: quiet ? "error" : "info", legalComments: "eof" };
const forNode = { ...shared, platform: "node", target: "node20", format: "cjs" };
const forBrowser = { ...shared, platform: "browser", target: "es2022", format: "cjs" };

const programs = [
  { ...forNode, entryPoints: ["client/desktop.ts"], outfile: `${folder}/desktop.js`, external: ["vscode"] },
  { ...forNode, entryPoints: ["server/node/main.ts"], outfile: `${folder}/server.js` },
  {
    ...forNode,
    entryPoints: ["server/cli/main.ts"],
    outfile: `${folder}/cli.js`,
    // A library asks for its own address, which a CommonJS bundle does not have by that name.
    banner: { js: '#!/usr/bin/env node\nconst bundleAddress = require("node:url").pathToFileURL(__filename).href;' },
    define: { CAMLEAF_VERSION: JSON.stringify(version), "import.meta.url": "bundleAddress" },
  },
  // The JSON library's CommonJS form hides its files from bundlers; its ES modules do not.
  {
    ...forNode,
    entryPoints: ["tests/bench/main.ts"],
    outfile: `${folder}/bench.js`,
    mainFields: ["module", "main"],
    external: ["yaml-language-server"],
  },
  { ...forNode, entryPoints: ["tests/bench/one-process.ts"], outfile: `${folder}/bench-one-process.js` },
  { ...forBrowser, entryPoints: ["client/web.ts"], outfile: `${folder}/web.js`, external: ["vscode"] },
  { ...forBrowser, entryPoints: ["client/webview/main.ts"], outfile: `${folder}/webview.js`, format: "iife" },
  { ...shared, entryPoints: ["client/webview/style.css"], outfile: `${folder}/webview.css`, sourcemap: false },
  { ...forBrowser, entryPoints: ["server/browser/main.ts"], outfile: `${folder}/server-worker.js`, format: "iife" },
];
const wanted = programs.filter(
  (p) => existsSync(p.entryPoints[0]) && !(extensionOnly && /(cli|bench|bench-one-process)\.js$/.test(p.outfile)),
);
await Promise.all(wanted.map((program) => build(program)));
