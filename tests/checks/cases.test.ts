/** Six whole circuits of other kinds: every check runs to its end on each, and errors are only those that were read. */
import { readdirSync, readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { findingsOf, machinesOf } from "./analysed.ts";

const cases = new URL("../language/cases/", import.meta.url);
const names = readdirSync(cases).filter((name) => name.endsWith(".camleaf"));

it.each(names)("%s", (name) => {
  for (const machine of machinesOf(readFileSync(new URL(name, cases), "utf8"))) {
    const findings = findingsOf(machine);
    expect(findings.filter(({ id, gravity }) => id === "check-failed" || gravity === "error").map(findingText)).toEqual(
      [],
    );
    for (const finding of findings)
      expect(findingText(finding)).not.toMatch(/undefined|NaN|\bjoint\b|\bwitness\b|\bsettled\b/);
  }
});
