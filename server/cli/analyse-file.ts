/** One file from disk through the service, with every check done. */
import { readFile } from "node:fs/promises";
import { nodePlatform } from "../node/platform.ts";
import { Service, type Snapshot } from "../service.ts";
import type { LinesOf } from "./print-finding.ts";
import { SourceLines } from "./source-lines.ts";

export interface AnalysedFile {
  readonly snapshot: Snapshot;
  readonly linesOf: LinesOf;
}

/** A reason, in plain words, why a file cannot be checked. */
export class CannotRead extends Error {}

export async function analyseFile(file: string): Promise<AnalysedFile> {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const code = (error as { code?: string }).code;
    const reason =
      code === "ENOENT" ? "there is no such file" : code === "EISDIR" ? "it is a folder" : "it cannot be read";
    throw new CannotRead(`${file}: ${reason}`);
  }
  const service = new Service(nodePlatform);
  service.put(file, 1, text.replace(/^\uFEFF/, ""));
  const snapshot = await service.analysed(file);
  if (!snapshot) throw new CannotRead(`${file}: it cannot be analysed`);
  const known = new Map<string, SourceLines | undefined>();
  return {
    snapshot,
    linesOf(name) {
      if (!known.has(name)) {
        const found = name === file ? snapshot.text : service.textOf(name);
        known.set(name, found === undefined ? undefined : new SourceLines(found));
      }
      return known.get(name);
    },
  };
}
