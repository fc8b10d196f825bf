/**
 * A machine that is only written differently has the same findings: of the same gravity, about the same things. Every other text has lost a
 * line first, so that there are findings to keep. `MUTATIONS=200 npx vitest run tests/checks/mutations/harmless` runs the long form.
 */
import { describe, expect, it } from "vitest";
import { parse } from "../../../grammar/parse.ts";
import { findingsOf, machinesOf } from "../analysed.ts";
import { names, shownSamples, textOf } from "./machines.ts";
import { type Rewritten, rewriteAtRandom, seeded } from "./rewritings.ts";
import { told } from "./told.ts";

const MOST = Number(process.env.MUTATIONS ?? 24);
const others = { "parts.camleaf": textOf("parts") };

/** What is said of a text, names as they were before. */
function findings(text: string, renames: Rewritten["renames"] = []): string[] {
  const [machine] = machinesOf(text, others);
  const before = (fact: string): string =>
    [...renames].reverse().reduce((t, [now, old]) => t.replaceAll(new RegExp(`\\b${now}\\b`, "g"), old), fact);
  return [
    ...machine!.findings.map(({ gravity, id }) => `${gravity} ${id}`),
    ...findingsOf(machine!, {}).flatMap((finding) => {
      const facts = told(machine!, finding);
      // By its words: another order gives it another number.
      if (finding.id === "expectation")
        return [`expectation ${text.slice(finding.place.from, finding.place.to).replace(/\s+/g, " ")}`];
      return facts.map((fact) => `${finding.gravity} ${fact}`);
    }),
  ]
    .map(before)
    .sort();
}

/** The text without one of its statements. */
function without(text: string, index: number): string {
  const { statements } = parse(text);
  const first = statements.findIndex(({ statement }) => statement === "machine") + 1;
  const gone = statements[first + (index % (statements.length - first))]!;
  return text.slice(0, gone.from) + text.slice(gone.to);
}

describe.each(names)("%s", (name) => {
  it(`says the same of ${MOST} texts that are only written differently`, { timeout: 1_800_000 }, () => {
    const whole = textOf(name);
    const most = shownSamples.includes(name) || process.env.MUTATIONS ? MOST : MOST / 4;
    const kept = { compared: 0, ways: new Map<string, number>() };
    for (let index = 0; index < most; index++) {
      const random = seeded(index * 31 + name.length);
      const text = index % 2 === 0 ? whole : without(whole, Math.floor(random() * 1000));
      const other = rewriteAtRandom(text, random, 1 + (index % 8), others);
      const was = findings(text);
      kept.compared += was.length;
      for (const words of other.words) {
        const way = words.replace(/^.* called .*$/, "a name changed");
        kept.ways.set(way, (kept.ways.get(way) ?? 0) + 1);
      }
      expect(findings(other.text, other.renames), `${other.words.join(", ")}\n${other.text}`).toEqual(was);
    }
    expect(kept.compared).toBeGreaterThan(0);
    if (process.env.MUTATIONS)
      console.log(`${name}: ${most} texts, ${kept.compared} findings compared`, Object.fromEntries(kept.ways));
  });
});
