/**
 * Every text in the project, and transformers with loads behind them, are analysed to the end in every phase: nothing throws, nothing
 * stops half-way, every finding has a page and advice.
 */
import { describe, expect, it } from "vitest";
import { type Finding, findingText } from "../../server/base/finding.ts";
import { standardPipeline } from "../../server/workspace/standard-pipeline.ts";
import { filesIn, read } from "../language/read.ts";
import { pageIds } from "../support/pages.ts";
import { toEnd } from "./analysed.ts";

const folders = ["samples", "samples/ideas", "samples/bench", "samples/proposals", "tests/language/cases"];

function findingsIn(file: string, text?: string): readonly Finding[] {
  const { source, ...named } = read(file, text);
  const analysed = toEnd(standardPipeline.analyse(source, named));
  const later = toEnd(standardPipeline.later(source, analysed));
  return [...named.findings, ...analysed.findings, ...later.findings];
}

function stopped(findings: readonly Finding[]): string[] {
  return findings.filter(({ id }) => id === "check-failed" || id === "analysis-stopped").map(({ what }) => what);
}

it.each(folders.flatMap(filesIn))("%s", (file) => {
  const findings = findingsIn(file);
  expect(stopped(findings)).toEqual([]);
  for (const finding of findings) {
    expect(pageIds, finding.what).toContain(finding.id);
    expect(finding.advice, finding.what).not.toBe("");
    expect(findingText(finding)).not.toMatch(/undefined|NaN|\bjoint\b|\bwitness\b|\bsettled\b/);
  }
});

const TRANSFORMERS: Record<string, string> = {
  "a valve on the secondary, switched on both sides": `wire T1.3 to S2 to Y1 to T1.4
wire L to SW to T1.1
wire T1.2 to N`,
  "a secondary with one end on ground": `wire T1.3 to S2 to Y1 to T1.4
bond T1.4 to PE
wire L to SW to T1.1
wire T1.2 to N`,
  "a secondary shorted by its switch": `wire T1.3 to S2 to T1.4
wire T1.3 to Y1 to T1.4
wire L to SW to T1.1
wire T1.2 to N`,
  "a primary with one end loose, a secondary in series with the line": `wire T1.3 to S2 to Y1 to N
wire L to SW to T1.4
wire L to T1.1`,
  "a secondary wired back to the primary": `wire T1.3 to S2 to T1.1
wire L to SW to T1.1
wire T1.2 to Y1 to N
wire T1.4 to N`,
};

describe("a transformer with", () => {
  it.each(Object.entries(TRANSFORMERS))("%s", (_name, wires) => {
    const text = `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
switch S2 1 to 2 closed in on, open in off
transformer T1 40 VA { primary 1 to 2 120 V; secondary 3 to 4 24 V }
valve Y1 24 V 10 W
${wires}
`;
    expect(stopped(findingsIn("bench.camleaf", text))).toEqual([]);
  });
});
