/** A file with all that it uses, directly or not, read from disk and parsed. */
import { readFile } from "node:fs/promises";
import { parse } from "../../grammar/parse.ts";
import type { Tree } from "../../grammar/tree.ts";
import { resolveUsePath, usedPaths } from "../machine/index.ts";

/** Adds to `files`, by whole path. What cannot be read is left out. */
export async function readFiles(file: string, files = new Map<string, Tree>()): Promise<Map<string, Tree>> {
  if (files.has(file)) return files;
  const text = await readFile(file, "utf8").catch(() => undefined);
  if (text === undefined) return files;
  const tree = parse(text.replace(/^\uFEFF/, ""));
  files.set(file, tree);
  for (const path of usedPaths(tree)) {
    const used = resolveUsePath(file, path);
    if (used !== undefined) await readFiles(used, files);
  }
  return files;
}
