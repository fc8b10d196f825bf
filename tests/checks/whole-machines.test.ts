/**
 * Whole machines of kinds that the samples leave out, written as from a panel diagram: what is told of each is what a technician would say
 * of it, and nothing else. Judged by hand, common practice, no published source; amounts by V²/W and the plates.
 */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

const told = (name: string): string[] => {
  const text = readFileSync(new URL(`whole-machines/${name}.camleaf`, import.meta.url), "utf8");
  const [machine] = machinesOf(text);
  return [...machine!.findings, ...findingsOf(machine!, { analyse })]
    .map(({ id, gravity, what }) => `${gravity} ${id} ${what}`)
    .sort();
};

describe.each([
  ["coin-washer", []],
  [
    "dishwasher",
    [
      // Dries in hot air with the same element: the text says that only water may be round it.
      "error guard-defeated SH (sump heater) can heat without water",
      "information guard-not-written DOOR (door latch switch)",
      // 12 A at 0.6 and 6 A at 0.9 of the wash motor and 6.67 A of the element: 22.8 A.
      "warning contact-over-rating DOOR.3-4 (door latch switch) makes 22.8 A; rated 15 A at 125 V.",
    ],
  ],
  [
    "drying-box",
    [
      "information breaker-too-large The breaker is rated 40 A, and the machine draws 11.2 A at most; 20 A would be enough.",
      "information case-fault If the coil of HT touches its sheath",
    ],
  ],
  ["drying-cabinet", ["information guard-not-written DOOR"]],
  ["drying-tower", []],
  ["extractor-240", []],
  ["gas-dryer", []],
  [
    "moisture-dryer",
    [
      "information case-fault If the coil of HT touches its sheath, it heats at up to 5.2 kW (100 %) with HR.1-2",
      // 22 A at 0.62 and 14 A at 0.88: 35.3 A.
      "warning contact-over-rating CY.run (cycle) makes 35.3 A; rated 15 A at 125 V.",
    ],
  ],
  ["reversing-dryer", []],
  // The cut-out works the contactor only, whose contacts may weld.
  ["rinse-boiler", ["warning load-without-protector BH (boiler elements)"]],
  ["roller-iron", ["information lost-neutral If the neutral N is lost, RM.main (roll motor) gets up to 222 V"]],
  ["spin-extractor", ["information guard-not-written LK (lid lock, bimetal with ptc)"]],
  ["two-speed-washer", []],
  ["washer-dryer", ["information guard-not-written DOORS (door switch)"]],
  [
    "water-heater",
    [
      "information case-fault If the coil of LE (lower element) touches its sheath",
      "information case-fault If the coil of UE (upper element) touches its sheath",
    ],
  ],
  [
    "wringer",
    [
      "warning contact-over-rating WO makes 17.5 A; rated 15 A at 125 V.",
      "warning reverses-without-pause WM (wringer motor) is switched to turn right while it still turns left",
    ],
  ],
] as const)("%s", (name, expected) => {
  it("is told this and no more", () => {
    const findings = told(name);
    expect(findings.map((finding, at) => finding.slice(0, (expected[at] ?? finding).length))).toEqual(expected);
  });
});
