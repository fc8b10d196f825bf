/** Files that a person means: paths as they stand, folders with all machines below, and patterns that the shell did not expand. */
import { stat } from "node:fs/promises";
import { glob } from "tinyglobby";
import type { Output } from "./check-command.ts";

export interface FileList {
  readonly files: readonly string[];
  /** False when a folder or pattern holds no machine, which was complained of. */
  readonly complete: boolean;
}

/** In the order of the arguments, each file once; below a folder by name. A path that does not exist is kept: reading it says so. */
export async function filesOf(args: readonly string[], { complaint }: Pick<Output, "complaint">): Promise<FileList> {
  const files = new Set<string>();
  let complete = true;
  for (const arg of args) {
    const found = await meant(arg);
    if (found.length === 0) {
      complaint(`${arg}: no file of a machine (.camleaf) is there`);
      complete = false;
    }
    for (const file of found) files.add(file);
  }
  return { files: [...files], complete };
}

async function meant(arg: string): Promise<readonly string[]> {
  const kind = await stat(arg).catch(() => undefined);
  if (kind?.isDirectory()) {
    const base = arg.replace(/[/\\]+$/, "") || arg;
    const below = await glob("**/*.camleaf", { cwd: base, ignore: ["**/node_modules/**"] });
    return below.map((file) => `${base}/${file}`).sort();
  }
  if (kind || !/[*?[{]/.test(arg)) return [arg];
  return (await glob(arg.replaceAll("\\", "/"), { ignore: ["**/node_modules/**"] })).sort();
}
