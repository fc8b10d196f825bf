/** The sample machines end with the findings that a technician would agree with: read by a person, then written down here. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { findingsOf, machinesOf } from "./analysed.ts";

const samples = new URL("../../samples/", import.meta.url);
const textOf = (name: string) => readFileSync(new URL(`${name}.camleaf`, samples), "utf8");

function sampleMachine(name: string) {
  return machinesOf(textOf(name), { "parts.camleaf": textOf("parts") })[0]!;
}

const READ: Record<string, string[]> = {
  // DOOR switches the neutral side, as in most dryers; the coil stays on L1 with the speed switch open.
  "electric-dryer": ["information neutral-side-switch DOOR", "information case-fault HT"],
  // The European plug fits both ways round.
  "fan-heater": ["information neutral-side-switch The", "information case-fault With"],
  "gas-burner": [],
  // The stamp 15 A 125 V says nothing about the motor's start: the contact that burns.
  "top-loading-washer": ["warning contact-over-rating TM.agit", "warning contact-over-rating TM.spin"],
};

describe.each(Object.entries(READ))("%s", (name, expected) => {
  const findings = findingsOf(sampleMachine(name));
  it("has the findings that were read and agreed with", () => {
    const told = findings.map(({ gravity, id, what }) => {
      const subject = /coil of (\S+)/.exec(what)?.[1] ?? what.split(" ")[0];
      return `${gravity} ${id} ${subject}`;
    });
    expect(told).toEqual(expected);
  });
  it("says each with a reason, advice, a state and the way there", () => {
    for (const finding of findings) {
      expect(finding.why && finding.advice).toBeTruthy();
      expect(finding.state?.steps, findingText(finding)).toBeDefined();
      expect(finding.related.length, findingText(finding)).toBeGreaterThan(0);
      expect(findingText(finding)).not.toMatch(/undefined|NaN|\bjoint\b|\bwitness\b|\bsettled\b/);
    }
  });
});
