/** `camleaf format FILE...`: white space put in order, meaning never touched. */
import { readFile, writeFile } from "node:fs/promises";
import { formatWhole } from "../../grammar/format.ts";
import type { Output } from "./check-command.ts";
import { filesOf } from "./file-list.ts";

export interface FormatOptions {
  /** Only says which files are not in order. */
  readonly check?: boolean;
  /** Prints instead of writing. */
  readonly print?: boolean;
}

/** Exit code: 0 when all is in order or was put in order, 1 with `check` when a file is not, 2 when one cannot be read or written. */
export async function format(args: readonly string[], options: FormatOptions, output: Output): Promise<number> {
  const { files, complete } = await filesOf(args, output);
  let exit = complete ? 0 : 2;
  for (const file of files) {
    try {
      const text = await readFile(file, "utf8");
      const formatted = formatWhole(text);
      if (options.print) output.line(formatted.replace(/\n$/, ""));
      else if (formatted === text) continue;
      else if (options.check) {
        output.line(`${file}: not in order`);
        if (exit === 0) exit = 1;
      } else {
        await writeFile(file, formatted);
        output.line(`${file}: put in order`);
      }
    } catch (error) {
      const missing = (error as { code?: string }).code === "ENOENT";
      output.complaint(`${file}: ${missing ? "there is no such file" : (error as Error).message}`);
      exit = 2;
    }
  }
  return exit;
}
