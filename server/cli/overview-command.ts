/** `camleaf overview FILE`: a machine on one page: findings, what each load gets and when, what each contact switches. */
import { boundsInWords } from "../checks/unproved.ts";
import { contactReadout } from "../editor/contact-readout.ts";
import { loadReadout, type Readout } from "../editor/readout.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { folded, table } from "./paint.ts";
import { printedFinding, summary } from "./print-finding.ts";

const cautions = [
  "This program informs; it is not authority. Unplug the machine or lock out its circuit before you open it; discharge capacitors through a resistor of some kilohms; prove dead on a meter that you have just seen work; put every interlock back. Local codes and licensed practice come first.",
];

/** Exit code 0 whenever the file could be read: an overview is for reading, `check` is for deciding. */
export async function overview(file: string, output: Output): Promise<number> {
  const { paint } = output;
  try {
    const { snapshot, linesOf } = await analyseFile(file);
    for (const view of snapshot.machines) {
      const { machine, engine } = view;
      output.line(paint.strong(machine.label));
      output.line(`${machine.supply.text}; ${machine.loads.length} loads, ${machine.contacts.length} contacts`);
      const covered = engine?.covered();
      if (covered)
        output.line(
          `${count(covered.nominal)} combinations of positions${covered.reachable === undefined ? "" : `, ${count(covered.reachable)} of them can be reached`}; all checked${covered.complete ? "" : " but for what is named below"}.`,
        );
      for (const sentence of covered?.missing ?? []) output.line(`  not covered: ${sentence}`);
      const bounds = engine && boundsInWords(engine);
      if (bounds) output.line(`  bounds only: ${bounds}`);
      output.line("");
      output.line(paint.strong("What each load gets"));
      for (const { id } of machine.loads) print(loadReadout(view, id), output);
      output.line(paint.strong("What each contact switches"));
      for (const { id } of machine.contacts) print(contactReadout(view, id), output);
    }
    output.line(paint.strong("Findings"));
    output.line("");
    for (const finding of snapshot.findings) {
      for (const line of printedFinding(finding, linesOf, paint)) output.line(line);
      output.line("");
    }
    output.line(`${file}: ${summary(snapshot.findings)}. "No findings" is not "safe".`);
    output.line("");
    for (const caution of cautions) for (const line of folded(caution, "")) output.line(paint.faint(line));
    return 0;
  } catch (error) {
    if (!(error instanceof CannotRead)) throw error;
    output.complaint(error.message);
    return 2;
  }
}

function print({ name, what, label, facts }: Readout, { line, paint }: Output): void {
  line(`  ${paint.strong(name)}  ${what}${label === undefined || label === what ? "" : `, ${label}`}`);
  for (const row of table(
    facts.map((fact) => [fact.name, fact.text]),
    "      ",
  ))
    line(row);
  line("");
}

function count(value: number): string {
  if (!Number.isFinite(value) || value >= 1e9) return `more than ${value.toExponential(0).replace(/e\+?/, " x 10^")}`;
  return value.toLocaleString("en-US").replaceAll(",", " ");
}
