import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "../../grammar/parse.ts";
import type { ProposalStatement } from "../../grammar/tree.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import { type Comparison, compareProposal } from "../../server/proposals/compare.ts";
import { lineText } from "../../server/proposals/verdict.ts";
import { toEnd } from "../checks/analysed.ts";

export const sample = (name: string): string =>
  readFileSync(join(import.meta.dirname, "../../samples", `${name}.camleaf`), "utf8");

/** A proposal text, which uses nothing, done to a sample machine. */
export function proposed(base: string, proposal: string): Comparison {
  return proposedTo(sample(base), proposal, base);
}

/** The same to a machine given as text. */
export function proposedTo(text: string, proposal: string, base = "machine"): Comparison {
  const files = new Map(
    Object.entries({
      [`${base}.camleaf`]: text,
      "parts.camleaf": sample("parts"),
      "p/p.camleaf": proposal,
    }).map(([name, text]) => [name, parse(text)]),
  );
  const machine = resolveMachines(files, `${base}.camleaf`)[0]!;
  const statement = files
    .get("p/p.camleaf")!
    .statements.findLast((each): each is ProposalStatement => each.statement === "proposal")!;
  return toEnd(compareProposal(machine, files, { statement, file: "p/p.camleaf" }));
}

export function linesOf({ verdict }: Comparison): string[] {
  return verdict!.lines.map((line) => `${line.weight}: ${lineText(line)}`);
}
