/**
 * Proof by damage: machines are damaged mechanically, the plain walk says what is then true, and the checks must tell all of it and
 * nothing else. `MUTATIONS=200 npx vitest run tests/checks/mutations/mutations` runs the long form and prints its tables.
 */
import { afterAll, describe, expect, it } from "vitest";
import { findingText } from "../../../server/base/finding.ts";
import { checks } from "../../../server/checks/registry.ts";
import { analyse, findingsOf } from "../analysed.ts";
import { damaged, damages, pick } from "./damage.ts";
import { machineOf, names, shownSamples, textOf } from "./machines.ts";
import { told } from "./told.ts";
import { truths } from "./truth/truths.ts";

const LONG = process.env.MUTATIONS !== undefined;
/** Variants of each of the four samples, and of each of the small machines, which take next to no time. */
const MOST = Number(process.env.MUTATIONS ?? 20);
const MOST_SMALL = Math.max(MOST, 120);

/** Not provoked by damage: it tells that a machine has too many states, which no single fault brings about (tests/checks/cut-short.test.ts). */
const NOT_BY_DAMAGE = ["states-not-covered"];

interface Count {
  variants: number;
  expected: number;
  detected: number;
  untrue: number;
}

const byKind = new Map<string, Count>();
const byId = new Map<string, Count>();
function count(of: Map<string, Count>, key: string): Count {
  const known = of.get(key) ?? { variants: 0, expected: 0, detected: 0, untrue: 0 };
  of.set(key, known);
  return known;
}

/** `weak` is told by one of three checks: it counts for whichever told it. */
const idOf = (fact: string): string => fact.split(" ")[0]!;

describe.each(names)("%s", (name) => {
  const machine = machineOf(textOf(name));
  const shown = shownSamples.includes(name);
  const before = truths(machine, true);

  const most = shown ? MOST : MOST_SMALL;
  it(`tells what ${most} damages do, and nothing untrue`, { timeout: 3_600_000 }, () => {
    const missed: string[] = [];
    const untrue: string[] = [];
    pick(damages(machine), most, 7).forEach((damage, index) => {
      // Other supplies and faults to the case are other machines to the plain walk: for the large ones not every time.
      const withLater = !shown || index % 4 === 0;
      const variant = damaged(machine, damage);
      const truth = truths(variant, withLater);
      const findings = findingsOf(variant, withLater ? { analyse } : {});
      const said = new Set(findings.flatMap((finding) => told(variant, finding)));
      const kind = count(byKind, damage.kind);
      kind.variants++;
      for (const id of new Set([...truth.must].map(idOf))) count(byId, id).variants++;
      for (const fact of truth.must) {
        if (!said.has(fact)) missed.push(`${damage.words}: ${fact}`);
        if (before.must.has(fact)) continue;
        for (const one of [kind, count(byId, idOf(fact))]) {
          one.expected++;
          if (said.has(fact)) one.detected++;
        }
      }
      for (const finding of findings) {
        const text = findingText(finding);
        expect(text, damage.words).not.toMatch(/undefined|NaN|Infinity/);
        expect(finding.id, `${damage.words}: ${finding.what}`).not.toBe("check-failed");
        // Said to be open, which neither is nor is not.
        if (/could not be judged|not looked at|could be looked at/.test(text)) continue;
        const facts = told(variant, finding);
        if (facts.every((fact) => truth.may.has(fact) || idOf(fact) === "states-not-covered")) continue;
        untrue.push(`${damage.words}: ${facts[0]}: ${finding.what}`);
        count(byId, finding.id).untrue++;
        kind.untrue++;
      }
    });
    expect({ missed, untrue }).toEqual({ missed: [], untrue: [] });
  });
});

function table(of: ReadonlyMap<string, Count>): string {
  return [...of]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(
      ([key, { variants, expected, detected, untrue }]) =>
        `${key.padEnd(36)} ${String(variants).padStart(5)} variants ${String(detected).padStart(6)} / ${String(expected).padEnd(6)} detected ${untrue} untrue`,
    )
    .join("\n");
}

afterAll(() => {
  if (LONG) console.log(`${table(byKind)}\n\n${table(byId)}`);
});

describe("no row is empty:", () => {
  it.each(checks.map(({ id }) => id).filter((id) => !NOT_BY_DAMAGE.includes(id)))(
    "%s is provoked by some damage",
    (id) => {
      expect(byId.get(id)?.expected ?? 0).toBeGreaterThan(0);
    },
  );

  it("every kind of damage does something that is told", () => {
    expect([...byKind].filter(([, { expected }]) => expected === 0).map(([kind]) => kind)).toEqual([]);
  });
});
