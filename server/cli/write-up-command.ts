/** `camleaf write-up FILE --out FILE`: the machine as one HTML page that opens anywhere, or as Markdown. */
import { readFile, writeFile } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { photoAddress, photoKind } from "../base/photos.ts";
import type { DrawingLook } from "../editor/pictures.ts";
import type { MachineView } from "../editor/view.ts";
import { writeUp } from "../editor/write-up.ts";
import type { WriteUpFormat } from "../writeup/write-up.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { numberedName } from "./numbered-name.ts";

/** Photos that notes name, as `data:` addresses, and those that cannot be had. */
async function readPhotos(file: string, machines: readonly MachineView[]) {
  const photos = new Map<string, string>();
  const missing: string[] = [];
  for (const { statement } of machines.flatMap(({ machine }) => machine.notes)) {
    const path = statement.photo?.text;
    if (path === undefined || photos.has(path)) continue;
    const kind = photoKind(path);
    const bytes = kind ? await readFile(join(dirname(file), path)).catch(() => undefined) : undefined;
    if (kind && bytes) photos.set(path, photoAddress(kind, bytes));
    else missing.push(path);
  }
  return { photos, missing };
}

export interface WriteUpChoice extends DrawingLook {
  /** Left out: by the ending of `out`. */
  readonly format?: WriteUpFormat;
  readonly out?: string;
}

/** Exit code: 0 when written, 2 when something cannot be read or written. */
export async function writeUpCommand(
  file: string,
  { out, format: wanted, ...look }: WriteUpChoice,
  output: Output,
): Promise<number> {
  const complain = (sentence: string): number => {
    output.complaint(sentence);
    return 2;
  };
  try {
    const { snapshot } = await analyseFile(file);
    const { machines } = snapshot;
    if (machines.length === 0) return complain(`${file}: no machine is written in it`);
    const format = wanted ?? (/\.(md|markdown)$/i.test(out ?? "") ? "markdown" : "html");
    const target = out ?? `${basename(file).replace(/\.camleaf$/, "")}${format === "html" ? ".html" : ".md"}`;
    const { photos, missing } = await readPhotos(file, machines);
    for (const path of missing) output.complaint(`${file}: the photo ${path} cannot be read; the page says so`);
    for (const [index, machine] of machines.entries()) {
      const name = numberedName(target, index);
      try {
        await writeFile(name, writeUp(snapshot, machine, basename(file), photos, { ...look, format }));
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
