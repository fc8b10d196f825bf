/** The pages are true: each bad example raises exactly its finding, each good one raises none of any kind that matters. */
import { describe, expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { checks } from "../../server/checks/registry.ts";
import { checkPages, exampleIn, HEADINGS } from "../support/pages.ts";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

describe.each(checks.map((check) => [check.id, check] as const))("%s", (id, check) => {
  const page = checkPages.find((one) => one.id === id)!;

  it("has all headings, and its title on top", () => {
    expect([...page.sections.keys()]).toEqual(HEADINGS);
    expect(page.title).toBe(check.title);
  });

  const run = (text: string) => {
    const [machine] = machinesOf(text);
    const writing = machine!.findings.filter(({ gravity }) => gravity === "error" || gravity === "warning");
    expect(writing.map(findingText)).toEqual([]);
    return findingsOf(machine!, check.phase === "later" ? { analyse } : {});
  };
  const bad = exampleIn(page, "Example that raises it");
  const good = exampleIn(page, "Example that does not");

  it.runIf(bad !== undefined)("raises exactly this finding on the bad example", () => {
    const findings = run(bad!);
    expect([...new Set(findings.filter((f) => f.id === id || f.gravity !== "information").map((f) => f.id))]).toEqual([
      id,
    ]);
    for (const finding of findings) {
      expect(finding.advice).not.toBe("");
      expect(finding.why).toBeTruthy();
      expect(finding.place.to).toBeGreaterThan(finding.place.from);
      expect(findingText(finding)).not.toMatch(/undefined|NaN|\bjoint\b|\bwitness\b|\bsettled\b/);
    }
  });
  it.runIf(good !== undefined)("raises nothing on the good example", () => {
    const findings = run(good!).filter((f) => f.id === id || f.gravity === "error" || f.gravity === "warning");
    expect(findings.map(findingText)).toEqual([]);
  });
});

it("every folder with a page is registered, and every check has a folder", () => {
  expect(checks.map(({ id }) => id).sort()).toEqual(checkPages.map(({ id }) => id).sort());
});
