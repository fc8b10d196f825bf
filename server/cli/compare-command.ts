/** `camleaf compare FILE [--proposal "label"]` */
import { readFile } from "node:fs/promises";
import { resolve } from "node:path";
import { parse } from "../../grammar/parse.ts";
import type { ProposalStatement, Tree } from "../../grammar/tree.ts";
import { type Machine, resolveMachines, resolveUsePath, usedPaths } from "../machine/index.ts";
import { compareProposal } from "../proposals/compare.ts";
import { lineText } from "../proposals/verdict.ts";
import type { Output } from "./check-command.ts";
import { printedFinding } from "./print-finding.ts";
import { SourceLines } from "./source-lines.ts";

/** Exit code: 0 no new danger found, 1 danger or a proposal that cannot be done, 2 nothing to compare. */
export async function compare(named: string, label: string | undefined, output: Output): Promise<number> {
  // Whole paths: what is used may stand in a folder above.
  const file = resolve(named);
  const files = new Map<string, Tree>();
  await read(file, files);
  const tree = files.get(file);
  if (!tree) {
    output.complaint(`${named}: it cannot be read`);
    return 2;
  }
  const all = tree.statements.filter((each): each is ProposalStatement => each.statement === "proposal");
  const chosen = label === undefined ? all : all.filter((each) => each.label?.text === label);
  if (chosen.length === 0) {
    output.complaint(
      label === undefined ? `${named}: it holds no proposal` : `${named}: no proposal is called "${label}"`,
    );
    return 2;
  }
  let exit = 0;
  for (const statement of chosen) {
    const base = baseOf(files, file, statement);
    if (!base) {
      output.complaint(`${named}: it neither holds nor uses a machine that the proposal could change`);
      return 2;
    }
    const run = compareProposal(base, files, { statement, file });
    let step = run.next();
    while (!step.done) step = run.next();
    const { verdict, findings } = step.value;
    output.line(`${statement.label?.text ?? "proposal"}: ${verdict?.headline ?? "it cannot be carried out."}`);
    const linesOf = (name: string) => {
      const text = files.get(name)?.text;
      return text === undefined ? undefined : new SourceLines(text);
    };
    for (const finding of findings)
      for (const line of printedFinding(finding, linesOf, output.paint)) output.line(line);
    for (const line of verdict?.lines ?? []) output.line(`  ${line.weight}: ${lineText(line)}`);
    for (const caution of verdict?.cautions ?? []) output.line(output.paint.faint(`  ${caution}`));
    output.line("");
    if (!verdict || verdict.lines.some(({ weight }) => weight === "danger")) exit = 1;
  }
  return exit;
}

async function read(file: string, files: Map<string, Tree>): Promise<void> {
  if (files.has(file)) return;
  const text = await readFile(file, "utf8").catch(() => undefined);
  if (text === undefined) return;
  const tree = parse(text.replace(/^\uFEFF/, ""));
  files.set(file, tree);
  for (const path of usedPaths(tree)) {
    const used = resolveUsePath(file, path);
    if (used !== undefined) await read(used, files);
  }
}

/** The machine that the proposal stands in, else the first one of the files that its file uses. */
function baseOf(files: ReadonlyMap<string, Tree>, file: string, { from }: ProposalStatement): Machine | undefined {
  const own = resolveMachines(files, file);
  if (own.length > 0) return own.find(({ place }) => place.from <= from && from < place.to) ?? own[0];
  for (const path of usedPaths(files.get(file)!)) {
    const machine = resolveMachines(files, resolveUsePath(file, path) ?? "")[0];
    if (machine) return machine;
  }
  return undefined;
}
