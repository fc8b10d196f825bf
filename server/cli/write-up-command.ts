/** `camleaf write-up FILE --out FILE`: the machine as one HTML page that opens anywhere. */
import { readFile, writeFile } from "node:fs/promises";
import { basename, dirname, extname, isAbsolute, join, relative, sep } from "node:path";
import type { DrawingLook } from "../editor/pictures.ts";
import type { MachineView } from "../editor/view.ts";
import { writeUp } from "../editor/write-up.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { numberedName } from "./numbered-name.ts";

const pictureKinds: Readonly<Record<string, string>> = {
  ".jpg": "image/jpeg",
  ".jpeg": "image/jpeg",
  ".png": "image/png",
  ".gif": "image/gif",
  ".webp": "image/webp",
};

/**
 * Photos that notes name, from the file's own folder or below, as `data:` addresses. A text may come from a stranger and the page is
 * handed on: it must not carry a picture from elsewhere on the disk along.
 */
async function readPhotos(file: string, machines: readonly MachineView[]) {
  const photos = new Map<string, string>();
  const missing: string[] = [];
  for (const { statement } of machines.flatMap(({ machine }) => machine.notes)) {
    const path = statement.photo?.text;
    if (path === undefined || photos.has(path)) continue;
    const kind = isBeside(file, path) ? pictureKinds[extname(path).toLowerCase()] : undefined;
    const bytes = kind ? await readFile(join(dirname(file), path)).catch(() => undefined) : undefined;
    if (bytes) photos.set(path, `data:${kind};base64,${bytes.toString("base64")}`);
    else missing.push(path);
  }
  return { photos, missing };
}

function isBeside(file: string, path: string): boolean {
  const from = relative(dirname(file), join(dirname(file), path));
  return !isAbsolute(path) && !isAbsolute(from) && from !== ".." && !from.startsWith(`..${sep}`);
}

export interface WriteUpChoice extends DrawingLook {
  readonly out?: string;
}

/** Exit code: 0 when written, 2 when something cannot be read or written. */
export async function writeUpCommand(file: string, { out, ...look }: WriteUpChoice, output: Output): Promise<number> {
  const complain = (sentence: string): number => {
    output.complaint(sentence);
    return 2;
  };
  try {
    const { snapshot } = await analyseFile(file);
    const { machines } = snapshot;
    if (machines.length === 0) return complain(`${file}: no machine is written in it`);
    const target = out ?? `${basename(file).replace(/\.camleaf$/, "")}.html`;
    const { photos, missing } = await readPhotos(file, machines);
    for (const path of missing) output.complaint(`${file}: the photo ${path} cannot be read; the page says so`);
    for (const [index, machine] of machines.entries()) {
      const name = numberedName(target, index);
      try {
        await writeFile(name, writeUp(snapshot, machine, basename(file), photos, look));
      } catch (error) {
        return complain(`${name}: cannot be written (${(error as Error).message})`);
      }
      output.line(`Written up: ${name}`);
    }
    return 0;
  } catch (error) {
    if (error instanceof CannotRead) return complain(error.message);
    throw error;
  }
}
