/** Everything that checking one file gives, as plain data: it crosses from a worker thread to the one that prints. */
import type { Gravity } from "../base/finding.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import { type Paint, paintNamed } from "./paint.ts";
import { type FindingData, findingData, printedFinding, summary } from "./print-finding.ts";
import { mayOnlyFollow } from "./writing-first.ts";

export interface FileReport {
  readonly file: string;
  /** Why it could not be read; all else is then empty. */
  readonly unread?: string;
  readonly machines: readonly string[];
  readonly missing: readonly string[];
  /** What was looked at besides the machine as it is: `the neutral lost`. */
  readonly looked: readonly string[];
  readonly findings: readonly FindingData[];
  readonly gravities: readonly Gravity[];
  /** For people: each finding with its line, then the summary. */
  readonly printed: readonly string[];
}

/** `colour`: with the terminal's colours. */
export async function reportOf(file: string, colour: boolean): Promise<FileReport> {
  const paint: Paint = paintNamed(colour);
  try {
    const { snapshot, linesOf } = await analyseFile(file);
    const { findings, missing, machines, looked } = snapshot;
    const printed = findings.flatMap((finding) => [...printedFinding(finding, linesOf, paint), ""]);
    const besides = looked?.at ?? [];
    const follows = mayOnlyFollow(findings);
    printed.push(
      `${file}: ${summary(findings)}`,
      ...(follows ? [`  ${follows}`] : []),
      ...(besides.length > 0 ? [paint.faint(`  looked at besides: ${besides.join(", ")}`)] : []),
      ...missing.map((sentence) => `  not covered: ${sentence}`),
    );
    return {
      file,
      machines: machines.map(({ machine }) => machine.label),
      missing,
      looked: besides,
      findings: findings.map((finding) => findingData(finding, linesOf)),
      gravities: findings.map(({ gravity }) => gravity),
      printed,
    };
  } catch (error) {
    if (!(error instanceof CannotRead)) throw error;
    return {
      file,
      unread: error.message,
      machines: [],
      missing: [],
      looked: [],
      findings: [],
      gravities: [],
      printed: [],
    };
  }
}
