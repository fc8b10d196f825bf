/**
 * The findings each sample ends with, as a technician agreed with them: id and the words of the text they stand at. Trade judgement, no
 * published source. And damage that a technician would spot must be found at once.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import type { Finding } from "../../server/base/finding.ts";
import { toEnd } from "../../server/base/to-end.ts";
import { standardPipeline } from "../../server/workspace/standard-pipeline.ts";
import { filesIn, read, root } from "./read.ts";

/** Every phase, the later one too. */
function findings(file: string, text: string): readonly Finding[] {
  const { source, ...named } = read(file, text);
  const analysed = toEnd(standardPipeline.analyse(source, named));
  const later = toEnd(standardPipeline.later(source, analysed));
  expect([...analysed.missing, ...later.missing]).toEqual([]);
  return [...named.findings, ...analysed.findings, ...later.findings];
}

const textOf = (file: string) => readFileSync(join(root, file), "utf8");
const places = (found: readonly Finding[], text: string) =>
  found.map((f) => `${f.gravity} ${f.id}: ${lineAt(text, f.place.from).split(/\s+/).slice(0, 5).join(" ")}`).sort();
const lineAt = (text: string, at: number) =>
  text
    .slice(text.lastIndexOf("\n", at - 1) + 1)
    .split("\n")[0]!
    .trim();

const agreed: Record<string, readonly string[]> = {
  "samples/gas-burner.camleaf": [],
  "samples/electric-dryer.camleaf": [
    'information neutral-side-switch: switch DOOR "door switch" {',
    'information case-fault: heater HT "drying coil" 5400',
  ],
  "samples/top-loading-washer.camleaf": [
    "warning contact-over-rating: contact agit R to A",
    "warning contact-over-rating: contact spin R to S",
  ],
  "samples/fan-heater.camleaf": [
    "information neutral-side-switch: supply single 230 V 50",
    "information case-fault: supply single 230 V 50",
  ],
  "samples/parts.camleaf": [],
  ...Object.fromEntries(filesIn("samples/ideas").map((file) => [file, []])),
  "samples/ideas/neutral-side-switch.camleaf": ["information neutral-side-switch: switch S 1 to 2"],
  // A lead across the lid switch: the basket can turn with the lid open.
  "samples/ideas/proposal.camleaf": [
    'warning proposal-outcome: proposal "spin test with the',
    "warning proposal-bridges: jumper LID.1 to LID.2",
  ],
  // Full volts across a cold heater that reads open: the heater.
  "samples/ideas/findings.camleaf": [
    'information bench-suspects: findings "does not heat" {',
    "information bench-disagrees: seen HT cold",
    "hint bench-agrees: volts HT.1 to HT.2 240",
    "information bench-disagrees: ohms HT.1 to HT.2 open",
  ],
  "samples/ideas/ratings.camleaf": ["error contact-over-rating: switch S1 1 to 2"],
};

describe("samples end with the findings a technician agrees with", () => {
  test.each(Object.entries(agreed))("%s", (file, wanted) => {
    const text = textOf(file);
    const found = places(findings(file, text), text);
    expect(found).toEqual([...wanted].sort());
  });
});

/** What is done to the text, and the id that must come of it. */
const damage: readonly [file: string, what: string, from: string, to: string, id: string][] = [
  [
    "gas-burner",
    "sensor bypassed: the main coil stays at 0 V",
    "wire GV.3 to FS to N ",
    "wire GV.3 to N ",
    "expectation",
  ],
  ["gas-burner", "valve not bonded", "bond GV.frame to PE", "", "unbonded-metal"],
  ["gas-burner", "sensor of too small a mark", "rated 5 A 125 V", "rated 1 A 125 V", "contact-over-rating"],
  ["electric-dryer", "high limit left out", "to CT to HL to HT", "to CT to HT", "load-without-protector"],
  [
    "electric-dryer",
    "coil contact marked for one leg",
    "contact heat C to D  rated 25 A 240 V",
    "contact heat C to D  rated 25 A 125 V",
    "contact-over-rating",
  ],
  ["electric-dryer", "door switch left out", "wire DM.5 to DOOR(2 1) to N", "wire DM.5 to N", "guard-defeated"],
  ["electric-dryer", "hold contact not wired", "wire TL.2 to DM.7", "wire TL.2 to START.1", "loose-end"],
  [
    "electric-dryer",
    "both throws of the door lamp to the line",
    "wire L1 to DL to DOOR.3",
    "wire L1 to DOOR.3",
    "legs-shorted",
  ],
  ["top-loading-washer", "lid switch left out", "wire TM.S to LID to TM.A", "wire TM.S to TM.A", "guard-defeated"],
  ["top-loading-washer", "lid switch left out", "wire TM.S to LID to TM.A", "wire TM.S to TM.A", "expectation"],
  ["top-loading-washer", "timer not held while filling", "wire TM.R to TM.M1", "wire TM.H to TM.M1", "expectation"],
  ["fan-heater", "housing not bonded", "bond A1 to PE", "# bond A1 to PE", "unbonded-metal"],
];

describe("damage is found", () => {
  test.each(damage)("%s: %s", (sample, _what, from, to, id) => {
    const file = `samples/${sample}.camleaf`;
    const text = textOf(file);
    expect(text).toContain(from);
    const before = findings(file, text).filter((f) => f.id === id).length;
    const after = findings(file, text.replace(from, to)).filter((f) => f.id === id).length;
    expect(after).toBeGreaterThan(before);
  });
});
