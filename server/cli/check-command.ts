/** `camleaf check FILE...`: findings of files, folders and patterns, for people or for programs. */
import { filesOf } from "./file-list.ts";
import type { FileReport } from "./file-report.ts";
import { type Progress, reports } from "./many-files.ts";
import type { Paint } from "./paint.ts";
import { sarif } from "./sarif.ts";

export interface Output {
  line(text: string): void;
  complaint(text: string): void;
  readonly paint: Paint;
  /** The paint has colours. */
  readonly colour?: boolean;
}

export type CheckFormat = "plain" | "json" | "sarif";

export interface CheckOptions {
  readonly format: CheckFormat;
  readonly version: string;
  readonly progress?: Progress & { end(): void };
}

/** Exit code: 0 without errors, 1 with at least one error, 2 when a file could not be read or none was found. */
export async function check(args: readonly string[], options: CheckOptions, output: Output): Promise<number> {
  const { files, complete } = await filesOf(args, output);
  const silent: Progress & { end(): void } = { done: () => {}, end: () => {} };
  const progress = options.progress ?? silent;
  const found = await reports(files, options.format === "plain" && output.colour === true, progress);
  progress.end();
  for (const { unread } of found) if (unread !== undefined) output.complaint(unread);
  switch (options.format) {
    case "json":
      output.line(JSON.stringify(found.filter(({ unread }) => unread === undefined).map(dataOf), undefined, 2));
      break;
    case "sarif":
      output.line(JSON.stringify(sarif(found, options.version), undefined, 2));
      break;
    case "plain":
      for (const { printed } of found) for (const line of printed) output.line(line);
      if (found.length > 1) output.line(totals(found));
      output.line(
        output.paint.faint(
          '"No findings" is not "safe": it means that none of these checks found anything in what is written.',
        ),
      );
  }
  if (!complete || found.some(({ unread }) => unread !== undefined)) return 2;
  return found.some(({ gravities }) => gravities.includes("error")) ? 1 : 0;
}

function dataOf({ file, machines, missing, looked, findings }: FileReport): unknown {
  return { file, machines, complete: missing.length === 0, missing, looked, findings };
}

/** `1,000 files: 12 with errors, 40 with warnings.` */
function totals(found: readonly FileReport[]): string {
  const having = (gravity: "error" | "warning") => found.filter(({ gravities }) => gravities.includes(gravity)).length;
  return `${found.length.toLocaleString("en")} files: ${having("error")} with errors, ${having("warning")} with warnings.`;
}
