/**
 * One contact switches loads of several kinds, one at a time or together: each kind against its own limit. IEC 61058-1 marks a switch
 * `16(4) A`: 16 A for resistive loads, 4 A for motors once they run, six times that as they start (from memory of 7.1.2.2 and table 17).
 */
import { describe, expect, it } from "vitest";
import { toEnd } from "../../server/base/to-end.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

/** A switch before a selector that heats or blows: never both. */
function told(rating: string, heater: string, motor: string, selector = "rated 16(16) A 125 V"): string[] {
  const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz legs L N PE
switch SW 1 to 2 closed in on, open in off rated ${rating}
selector SEL {
  positions off heat blow
  contact 1 to 2 in heat ${selector}
  contact 1 to 3 in blow ${selector}
}
heater HT ${heater} 120 V
motor M 120 V ${motor} thermally-protected
wire L to SW to SEL.1
wire SEL.2 to HT to N
wire SEL.3 to M to N
`);
  expect(machine!.findings.map(({ what }) => what)).toEqual([]);
  return toEnd(runChecks(toEnd(analyse(machine!))))
    .filter(({ id }) => id === "contact-over-rating")
    .map(({ what }) => what);
}

describe("a switch that feeds a heater of 12.5 A or, in another position, a motor", () => {
  it("breaks the running motor above its figure in brackets, though the heater draws more", () => {
    expect(told("16(4) A 125 V", "1500 W", "6 A starts 12 A")).toEqual([
      "SW breaks 6 A; rated 4 A motor load (the mark in brackets, IEC 61058-1).",
    ]);
  });

  it("makes the starting motor above six times that figure, though the heater draws more", () => {
    expect(told("16(2) A 125 V", "1800 W", "1.9 A starts 13 A", "rated 16(4) A 125 V")).toEqual([
      "SW makes 13 A; rated 12 A, six times the 2 A motor mark (IEC 61058-1).",
    ]);
  });

  it("is within its marks with both: nothing is said", () => {
    expect(told("16(4) A 125 V", "1800 W", "3.9 A starts 14 A")).toEqual([]);
  });
});

it("a contact rated for too few volts is told the volts that it works at, not others of the supply", () => {
  const [machine] = machinesOf(`machine "Bench"
supply 120/240 V 60 Hz legs L1 L2 N PE
switch SW 1 to 2 closed in on, open in off rated 10 A 24 V
lamp DL 10 W 120 V
wire L1 to SW to DL to N
`);
  expect(findingsOf(machine!, {}).find(({ id }) => id === "contact-over-rating")?.what).toBe(
    "SW works at 120 V, but is rated up to 24 V only.",
  );
});
