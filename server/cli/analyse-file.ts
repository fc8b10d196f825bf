/** One file from disk through the service, with every check done. */
import { readFile } from "node:fs/promises";
import { parse, relative, resolve } from "node:path";
import type { Finding } from "../base/finding.ts";
import { nodePlatform } from "../node/platform.ts";
import { Service, type Snapshot } from "../service.ts";
import type { LinesOf } from "./print-finding.ts";
import { SourceLines } from "./source-lines.ts";
import { writingFirst } from "./writing-first.ts";

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
  // Whole paths inside, since what is used may stand in a folder above; a person at the command line may read all that is theirs.
  const whole = resolve(file);
  service.folders = [parse(whole).root];
  service.put(whole, 1, text.replace(/^\uFEFF/, ""));
  const analysed = await service.analysed(whole);
  if (!analysed) throw new CannotRead(`${file}: it cannot be analysed`);
  /** As the person named it, others from where they stand. */
  const shown = (name: string) => (name === whole ? file : relative(".", name) || name);
  const inside = new Map<string, string>();
  const named = <P extends { readonly file: string }>(place: P): P => {
    const name = shown(place.file);
    inside.set(name, place.file);
    return { ...place, file: name };
  };
  const findings = writingFirst(analysed.findings).map(
    (finding): Finding => ({
      ...finding,
      place: named(finding.place),
      related: finding.related.map((other) => ({ ...other, place: named(other.place) })),
    }),
  );
  const snapshot: Snapshot = { ...analysed, findings };
  const known = new Map<string, SourceLines | undefined>();
  return {
    snapshot,
    linesOf(name) {
      if (!known.has(name)) {
        const found = name === file || name === whole ? snapshot.text : service.textOf(inside.get(name) ?? name);
        known.set(name, found === undefined ? undefined : new SourceLines(found));
      }
      return known.get(name);
    },
  };
}
