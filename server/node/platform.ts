import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { performance } from "node:perf_hooks";
import { fileURLToPath, pathToFileURL } from "node:url";
import type { Platform } from "../service.ts";

/** Folders looked through for files at most: a workspace is not a whole disk. */
const mostFolders = 2_000;

/** Files from disk, by `file:` URI or path. Editors that can read files themselves are asked instead (server/lsp). */
export const nodePlatform: Platform = {
  async readFile(address) {
    const uri = /^([A-Za-z][A-Za-z0-9+.-]+):/.exec(address);
    if (uri && uri[1] !== "file") return undefined;
    try {
      return await readFile(uri ? fileURLToPath(address) : address, "utf8");
    } catch {
      return undefined; // missing, a folder, no permission: not there for the person
    }
  },
  async findFiles(folder) {
    const uri = /^([A-Za-z][A-Za-z0-9+.-]+):/.exec(folder);
    if (uri && uri[1] !== "file") return [];
    const found: string[] = [];
    const waiting = [uri ? fileURLToPath(folder) : folder];
    for (let looked = 0; waiting.length > 0 && looked < mostFolders; looked++) {
      const here = waiting.shift()!;
      for (const entry of await readdir(here, { withFileTypes: true }).catch(() => [])) {
        const path = join(here, entry.name);
        if (entry.isDirectory()) {
          if (!entry.name.startsWith(".") && entry.name !== "node_modules") waiting.push(path);
        } else if (entry.name.endsWith(".camleaf")) found.push(uri ? pathToFileURL(path).href : path);
      }
    }
    return found;
  },
  soon: (job) => void setImmediate(job),
  after(milliseconds, job) {
    const timer = setTimeout(job, milliseconds);
    return () => clearTimeout(timer);
  },
  now: () => performance.now(),
  log: (line) => void process.stderr.write(`${line}\n`),
};
