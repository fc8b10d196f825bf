/** `camleaf compare FILE [--proposal "label"]` */
import { resolve } from "node:path";
import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { toEnd } from "../base/to-end.ts";
import { attachedBlocks, type Machine, resolveMachines } from "../machine/index.ts";
import { type Comparison, compareMachines, compareProposal } from "../proposals/compare.ts";
import { lineText, type Verdict, verdictOf } from "../proposals/verdict.ts";
import type { Output } from "./check-command.ts";
import { findingData, printedFinding } from "./print-finding.ts";
import { readFiles } from "./read-files.ts";
import { SourceLines } from "./source-lines.ts";

export interface CompareOptions {
  /** Only the proposal of this label. */
  readonly proposal?: string;
  readonly json?: boolean;
}

/** Exit code by gravity: 0 nothing new found, 1 danger or a proposal that cannot be done, 2 nothing to compare, 3 trouble but no danger. */
const exits = { change: 0, trouble: 3, danger: 1 } as const;

export async function compare(
  named: string,
  { proposal: label, json }: CompareOptions,
  output: Output,
): Promise<number> {
  // Whole paths: what is used may stand in a folder above.
  const file = resolve(named);
  const files = await readFiles(file);
  if (!files.has(file)) {
    output.complaint(`${named}: it cannot be read`);
    return 2;
  }
  const chosen = attachedBlocks("proposal", files, file, resolveMachines(files, file)).filter(
    ({ statement }) => label === undefined || statement.label?.text === label,
  );
  if (chosen.length === 0) {
    output.complaint(
      label === undefined ? `${named}: it holds no proposal` : `${named}: no proposal is called "${label}"`,
    );
    return 2;
  }
  const told: Told[] = [];
  for (const { statement, machine: base } of chosen) {
    if (!base) {
      output.complaint(`${named}: it neither holds nor uses a machine that the proposal could change`);
      return 2;
    }
    const { verdict, difference, findings, fits } = toEnd(compareProposal(base, files, { statement, file }));
    told.push({ title: statement.label?.text ?? "proposal", verdict, difference, findings, fits });
  }
  return tell(told, files, json === true, output);
}

/** Two texts of a machine, the first one as it is and the second one as it would be. */
export async function compareFiles(before: string, after: string, json: boolean, output: Output): Promise<number> {
  const files = new Map<string, Tree>();
  const machines: Machine[] = [];
  for (const named of [before, after]) {
    await readFiles(resolve(named), files);
    const machine = files.has(resolve(named)) ? resolveMachines(files, resolve(named))[0] : undefined;
    if (!machine) {
      output.complaint(`${named}: ${files.has(resolve(named)) ? "no machine is written in it" : "it cannot be read"}`);
      return 2;
    }
    machines.push(machine);
  }
  const difference = toEnd(compareMachines(machines[0]!, machines[1]!));
  return tell(
    [{ title: `${before} to ${after}`, verdict: verdictOf(difference), difference, findings: [] }],
    files,
    json,
    output,
  );
}

const FIT_WORDS = { wrong: "mend", other: "differs", right: "fits" } as const;

interface Told extends Pick<Comparison, "verdict" | "difference" | "findings" | "fits"> {
  readonly title: string;
}

function tell(told: readonly Told[], files: ReadonlyMap<string, Tree>, json: boolean, output: Output): number {
  const linesOf = (name: string) => {
    const text = files.get(name)?.text;
    return text === undefined ? undefined : new SourceLines(text);
  };
  const gravest = told.map(({ verdict }) => gravestOf(verdict));
  if (json) {
    const data = told.map(({ title, verdict, difference, findings, fits }, index) => ({
      proposal: title,
      gravest: gravest[index],
      headline: verdict?.headline,
      lines: verdict?.lines.map(({ weight, text, state, by }) => ({
        weight,
        text,
        ...(state && { state }),
        ...(by && { by }),
      })),
      cautions: verdict?.cautions,
      fits,
      cannot: findings.map((finding) => findingData(finding, linesOf)),
      difference: difference && {
        ...difference,
        newFindings: difference.newFindings.map(bare),
        vanishedFindings: difference.vanishedFindings.map(bare),
      },
    }));
    output.line(JSON.stringify(data, undefined, 2));
  } else
    for (const { title, verdict, findings, fits } of told) {
      output.line(`${title}: ${verdict?.headline ?? "it cannot be carried out."}`);
      for (const finding of findings)
        for (const line of printedFinding(finding, linesOf, output.paint)) output.line(line);
      for (const line of verdict?.lines ?? []) output.line(`  ${line.weight}: ${lineText(line)}`);
      for (const { part, by, lines } of fits ?? []) {
        output.line(`  Does ${by} fit in the place of ${part}?`);
        for (const { about, text, fits: how } of lines) output.line(`    ${FIT_WORDS[how]}: ${about} ${text}`);
      }
      for (const caution of verdict?.cautions ?? []) output.line(output.paint.faint(`  ${caution}`));
      output.line("");
    }
  if (gravest.includes("danger")) return exits.danger;
  return gravest.includes("trouble") ? exits.trouble : exits.change;
}

/** A proposal that cannot be done counts as a danger: nothing is known of it. */
function gravestOf(verdict: Verdict | undefined): keyof typeof exits {
  if (!verdict || verdict.lines.some(({ weight }) => weight === "danger")) return "danger";
  return verdict.lines.some(({ weight }) => weight === "trouble") ? "trouble" : "change";
}

/** Places of findings in the changed machine are those of a text that nobody wrote. */
function bare({ id, gravity, what, why, advice, state }: Finding): Partial<Finding> {
  return { id, gravity, what, ...(why === undefined ? {} : { why }), advice, ...(state ? { state } : {}) };
}
