/** What the proposals of a text would change: a page for each, the danger first. */
import type { Fit } from "../proposals/fit.ts";
import { lineText, type Verdict } from "../proposals/verdict.ts";

export interface WrittenProposal {
  readonly label: string;
  /** As written. */
  readonly text: string;
  /** Left out when it cannot be carried out. */
  readonly verdict?: Verdict;
  /** How each replaced part fits. */
  readonly fits?: readonly Fit[];
}

export function proposalSection(proposals: readonly WrittenProposal[], escaped: (text: string) => string): string {
  return proposals
    .map(({ label, text, verdict, fits = [] }) => {
      const lines = (verdict?.lines ?? []).map((line) => `<li class="${line.weight}">${escaped(lineText(line))}</li>`);
      return [
        `<h3>${escaped(label)}</h3>`,
        `<p><strong>${escaped(verdict?.headline ?? "It cannot be carried out as it is written.")}</strong></p>`,
        `<pre>${escaped(text)}</pre>`,
        lines.length > 0 ? `<ul>\n${lines.join("\n")}\n</ul>` : "",
        ...fits.map(({ part, by, lines: all }) => {
          const rows = all.map((line) => `<li>${escaped(`${line.about} ${line.text}`)}</li>`);
          return `<p>${escaped(`${by} in the place of ${part}:`)}</p>\n<ul>\n${rows.join("\n")}\n</ul>`;
        }),
        ...(verdict?.cautions ?? []).map((caution) => `<p>${escaped(caution)}</p>`),
      ]
        .filter((html) => html !== "")
        .join("\n");
    })
    .join("\n");
}
