/** `camleaf diagnose FILE`: what is likely dead by the findings of a file, and the reading to take next. */
import { resolve } from "node:path";
import type { BenchReport } from "../base/bench.ts";
import { toEnd } from "../base/to-end.ts";
import { buildCircuit } from "../circuit/build.ts";
import { attachedBlocks, type Machine, resolveMachines } from "../machine/index.ts";
import { readCase } from "../meter/case.ts";
import { type Diagnosis, diagnose } from "../meter/diagnose.ts";
import { benchReport } from "../meter/report.ts";
import type { Engine } from "../states/engine.ts";
import { makeExactEngine } from "../states/exact/exact-engine.ts";
import { cautions } from "../writeup/cautions.ts";
import type { Output } from "./check-command.ts";
import { folded } from "./paint.ts";
import { printedFinding } from "./print-finding.ts";
import { readFiles } from "./read-files.ts";
import { SourceLines } from "./source-lines.ts";

/** Exit code: 0 when told, 2 when nothing can be read or there are no findings in it. */
export async function diagnoseFile(
  named: string,
  label: string | undefined,
  asData: boolean,
  output: Output,
): Promise<number> {
  const file = resolve(named);
  const files = await readFiles(file);
  const tree = files.get(file);
  const complain = (sentence: string): number => {
    output.complaint(`${named}: ${sentence}`);
    return 2;
  };
  if (!tree) return complain("it cannot be read");
  const blocks = attachedBlocks("findings", files, file, resolveMachines(files, file)).filter(
    ({ statement }) => label === undefined || statement.label?.text === label,
  );
  if (blocks.length === 0)
    return complain(label === undefined ? "no findings are written in it" : `no findings are called "${label}"`);
  const engines = new Map<Machine, Engine>();
  const reports: BenchReport[] = [];
  for (const { statement, machine } of blocks) {
    if (!machine) return complain("it neither holds nor uses the machine that its findings are about");
    let engine = engines.get(machine);
    if (!engine) engines.set(machine, (engine = toEnd(makeExactEngine(buildCircuit(machine)))));
    const diagnosis: Diagnosis = diagnose(engine, readCase(engine, statement, file, tree.text));
    reports.push(benchReport(machine, diagnosis));
    if (asData) continue;
    const lines = new SourceLines(tree.text);
    for (const finding of diagnosis.bench.findings)
      for (const line of printedFinding(finding, () => lines, output.paint)) output.line(line);
    print(reports.at(-1)!, output);
  }
  if (asData) output.line(JSON.stringify(reports, undefined, 2));
  return 0;
}

function print(report: BenchReport, { line, paint }: Output): void {
  const paragraph = (text: string, indent: string): void => {
    for (const each of folded(text, indent)) line(each);
  };
  line(paint.strong(`${report.machine}: ${report.label}`));
  for (const state of report.states) paragraph(`In the state: ${state}`, "");
  line("");
  for (const { text, verdict, expected } of report.observations) {
    const told =
      verdict === "agrees"
        ? "agrees with a sound machine"
        : verdict === "disagrees"
          ? `in a sound machine: ${expected}`
          : `in a sound machine: ${expected}; it tells nothing`;
    line(`  ${text.padEnd(52)} ${verdict === "disagrees" ? paint.warning(told) : paint.faint(told)}`);
  }
  line("");
  if (report.next) {
    line(paint.strong(`${report.decided ? "To confirm it" : "Next"}: ${report.next.title}`));
    for (const each of report.next.steps) paragraph(`- ${each}`, "  ");
    line("  It will show:");
    for (const each of report.next.outcomes) paragraph(`${each}`, "    ");
  } else line(paint.strong("No further reading would tell the suspects apart."));
  line("");
  line(paint.strong("Suspects"));
  for (const suspect of report.suspects) {
    paragraph(`${suspect.odds.padEnd(9)} ${suspect.words}`, "  ");
    if (suspect.because) paragraph(`likelier, because ${suspect.because}`, "            ");
    if (suspect.supports.length > 0) paragraph(`for it: ${suspect.supports.join("; ")}`, "            ");
    if (suspect.contradicts.length > 0) paragraph(`against it: ${suspect.contradicts.join("; ")}`, "            ");
  }
  line("");
  paragraph(report.conclusion, "");
  line("");
  for (const caution of cautions) line(paint.faint(`  ${caution}`));
  line("");
}
