import { readFile } from "node:fs/promises";
import { performance } from "node:perf_hooks";
import { fileURLToPath } from "node:url";
import type { Platform } from "../service.ts";

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
  soon: (job) => void setImmediate(job),
  after(milliseconds, job) {
    const timer = setTimeout(job, milliseconds);
    return () => clearTimeout(timer);
  },
  now: () => performance.now(),
  log: (line) => void process.stderr.write(`${line}\n`),
};
