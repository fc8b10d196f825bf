/** What the proposals of a text would change: a page for each, the danger first. */
import type { Fit } from "../proposals/fit.ts";
import { lineText, type Verdict } from "../proposals/verdict.ts";
import type { Block } from "./page.ts";

export interface WrittenProposal {
  readonly label: string;
  /** As written. */
  readonly text: string;
  /** Left out when it cannot be carried out. */
  readonly verdict?: Verdict;
  /** How each replaced part fits. */
  readonly fits?: readonly Fit[];
}

export function proposalSection(proposals: readonly WrittenProposal[]): Block[] {
  return proposals.flatMap(({ label, text, verdict, fits = [] }): Block[] => {
    const lines = verdict?.lines ?? [];
    return [
      { block: "heading", text: label },
      { block: "text", text: [{ strong: verdict?.headline ?? "It cannot be carried out as it is written." }] },
      { block: "text of the file", text },
      ...(lines.length > 0
        ? [{ block: "list", items: lines.map((line) => ({ text: [lineText(line)], weight: line.weight })) } as const]
        : []),
      ...fits.flatMap(({ part, by, lines: all }): Block[] => [
        { block: "text", text: [`${by} in the place of ${part}:`] },
        { block: "list", items: all.map((line) => ({ text: [`${line.about} ${line.text}`] })) },
      ]),
      ...(verdict?.cautions ?? []).map((caution) => ({ block: "text", text: [caution] }) as const),
    ];
  });
}
