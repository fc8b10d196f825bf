// Bundles every program of the project into dist/ (esbuild). `--minify` for the packed extension, `--quiet` to print errors only.
import { existsSync, mkdirSync } from "node:fs";
import { build } from "esbuild";

const minify = process.argv.includes("--minify");
const quiet = process.argv.includes("--quiet");
mkdirSync("dist", { recursive: true });

const shared = { bundle: true, minify, sourcemap: !minify, logLevel: quiet ? "error" : "info", legalComments: "none" };
const forNode = { ...shared, platform: "node", target: "node20", format: "cjs" };
const forBrowser = { ...shared, platform: "browser", target: "es2022", format: "cjs" };

const programs = [
  { ...forNode, entryPoints: ["client/desktop.ts"], outfile: "dist/desktop.js", external: ["vscode"] },
  { ...forNode, entryPoints: ["server/node/main.ts"], outfile: "dist/server.js" },
  { ...forNode, entryPoints: ["server/cli/main.ts"], outfile: "dist/cli.js", banner: { js: "#!/usr/bin/env node" } },
  { ...forNode, entryPoints: ["tests/bench/main.ts"], outfile: "dist/bench.js", external: ["esbuild"] },
  { ...forBrowser, entryPoints: ["client/web.ts"], outfile: "dist/web.js", external: ["vscode"] },
  { ...forBrowser, entryPoints: ["server/browser/main.ts"], outfile: "dist/server-worker.js", format: "iife" },
];
// The packed extension holds only what it runs: the benchmark is left out of a minified build.
const wanted = programs.filter((p) => existsSync(p.entryPoints[0]) && !(minify && p.outfile.endsWith("bench.js")));
await Promise.all(wanted.map((program) => build(program)));
