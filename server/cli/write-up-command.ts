/** `camleaf write-up FILE --out FILE`: the machine as one HTML page that opens anywhere. */
import { writeFile } from "node:fs/promises";
import { basename } from "node:path";
import { writeUp } from "../editor/write-up.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { numberedName } from "./numbered-name.ts";

/** Exit code: 0 when written, 2 when something cannot be read or written. */
export async function writeUpCommand(file: string, out: string | undefined, output: Output): Promise<number> {
  const complain = (sentence: string): number => {
    output.complaint(sentence);
    return 2;
  };
  try {
    const { snapshot } = await analyseFile(file);
    const { machines } = snapshot;
    if (machines.length === 0) return complain(`${file}: no machine is written in it`);
    const target = out ?? `${basename(file).replace(/\.camleaf$/, "")}.html`;
    for (const [index, machine] of machines.entries()) {
      const name = numberedName(target, index);
      try {
        await writeFile(name, writeUp(snapshot, machine, basename(file)));
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
