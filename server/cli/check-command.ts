/** `camleaf check FILE...` */
import { type AnalysedFile, analyseFile, CannotRead } from "./analyse-file.ts";
import type { Paint } from "./paint.ts";
import { findingData, printedFinding, summary } from "./print-finding.ts";

export interface Output {
  line(text: string): void;
  complaint(text: string): void;
  readonly paint: Paint;
}

/** Exit code: 0 without errors, 1 with at least one error, 2 when a file could not be read. */
export async function check(files: readonly string[], asData: boolean, output: Output): Promise<number> {
  const data: unknown[] = [];
  let exit = 0;
  for (const file of files) {
    let analysed: AnalysedFile;
    try {
      analysed = await analyseFile(file);
    } catch (error) {
      if (!(error instanceof CannotRead)) throw error;
      output.complaint(error.message);
      exit = 2;
      continue;
    }
    const { findings, missing, machines } = analysed.snapshot;
    if (exit === 0 && findings.some(({ gravity }) => gravity === "error")) exit = 1;
    if (asData) {
      data.push({
        file,
        machines: machines.map(({ machine }) => machine.label),
        complete: missing.length === 0,
        missing,
        findings: findings.map((finding) => findingData(finding, analysed.linesOf)),
      });
      continue;
    }
    for (const finding of findings) {
      for (const line of printedFinding(finding, analysed.linesOf, output.paint)) output.line(line);
      output.line("");
    }
    output.line(`${file}: ${summary(findings)}`);
    for (const sentence of missing) output.line(`  not covered: ${sentence}`);
  }
  if (asData) output.line(JSON.stringify(data, undefined, 2));
  else
    output.line(
      output.paint.faint(
        '"No findings" is not "safe": it means that none of these checks found anything in what is written.',
      ),
    );
  return exit;
}
