/** The pages are true: each bad example raises exactly its finding, each good one raises none of any kind that matters. */
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { checks } from "../../server/checks/registry.ts";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

const room = new URL("../../server/checks/", import.meta.url);
const HEADINGS = [
  "What it says",
  "Why it matters",
  "Example that raises it",
  "Example that does not",
  "What to do",
  "Source",
];

function sections(page: string): Map<string, string> {
  return new Map(
    page
      .split(/^## /m)
      .slice(1)
      .map((part) => {
        const end = part.indexOf("\n");
        return [part.slice(0, end).trim(), part.slice(end + 1).trim()];
      }),
  );
}

function example(section: string | undefined): string | undefined {
  return /```camleaf\n([\s\S]*?)```/.exec(section ?? "")?.[1];
}

describe.each(checks.map((check) => [check.id, check] as const))("%s", (id, check) => {
  const page = readFileSync(new URL(`${id}/check.md`, room), "utf8");
  const parts = sections(page);

  it("has all headings, and its title on top", () => {
    expect([...parts.keys()]).toEqual(HEADINGS);
    expect(page.startsWith(`# ${check.title}\n`)).toBe(true);
  });

  const run = (text: string) => {
    const [machine] = machinesOf(text);
    const writing = machine!.findings.filter(({ gravity }) => gravity === "error" || gravity === "warning");
    expect(writing.map(findingText)).toEqual([]);
    return findingsOf(machine!, check.phase === "later" ? { analyse } : {});
  };
  const bad = example(parts.get("Example that raises it"));
  const good = example(parts.get("Example that does not"));

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
  const folders = readdirSync(room, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && entry.name !== "tables")
    .map(({ name }) => name);
  expect(checks.map(({ id }) => id).sort()).toEqual(folders.sort());
});
