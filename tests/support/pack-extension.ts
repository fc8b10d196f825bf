import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { dirname, join, resolve } from "node:path";

const root = resolve(import.meta.dirname, "../..");

export interface Packed {
  /** Folder with the extension as it is packed: manifest, bundles and all files beside them. */
  readonly folder: string;
  readonly vsix: string;
}

/** Packs the extension the way `npm run package` does, in a folder of its own, so that a running test's dist/ stays as it is. */
export function packExtension(name: string): Packed {
  const folder = join(root, "tests/output", name);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  const { files, scripts } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as {
    files: string[];
    scripts: { package: string };
  };
  for (const file of ["package.json", ...files.filter((file) => !file.startsWith("dist/"))]) {
    mkdirSync(dirname(join(folder, file)), { recursive: true });
    cpSync(join(root, file), join(folder, file));
  }
  const [bundle, pack] = scripts.package.split("&&").map((command) => command.trim().split(/\s+/));
  if (bundle?.[0] !== "node" || pack?.[0] !== "vsce") throw new Error(`unexpected package script: ${scripts.package}`);
  execFileSync("node", [...bundle.slice(1), "--quiet", `--to=${join(folder, "dist")}`], { cwd: root });
  const vsix = join(root, "tests/output", `${name}.vsix`);
  const vsce = join(root, "node_modules/@vscode/vsce/vsce");
  execFileSync("node", [vsce, ...pack.slice(1), "--out", vsix], { cwd: folder, stdio: ["ignore", "pipe", "pipe"] });
  return { folder, vsix };
}
