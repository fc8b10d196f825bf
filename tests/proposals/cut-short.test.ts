/** Searches that were cut short: neither a proposal's verdict nor hover, hints and the fit of a part read as an all-clear. */
import { describe, expect, it } from "vitest";
import { toEnd } from "../../server/base/to-end.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import { boundsInWords } from "../../server/checks/unproved.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import { contactDuty, contactReadout } from "../../server/editor/contact-readout.ts";
import { dutyOf } from "../../server/meter/duty.ts";
import { differenceOf } from "../../server/proposals/difference.ts";
import { fitsOf } from "../../server/proposals/fit.ts";
import { verdictOf } from "../../server/proposals/verdict.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { machinesOf } from "../checks/analysed.ts";

/** A switch that feeds a heater of 1500 W or, in another position of a selector, a motor of 6 A. */
const text = (rating: string, watts = 1500): string => `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off rated ${rating}
selector SEL {
  positions off heat blow
  contact 1 to 2 in heat rated 16 A 125 V
  contact 1 to 3 in blow rated 16(16) A 125 V
}
heater HT ${watts} W 120 V
motor M 120 V 6 A starts 12 A thermally-protected
wire L to SW to SEL.1
wire SEL.2 to HT to N
wire SEL.3 to M to N
`;

function sideOf(source: string, visits?: number) {
  const machine = machinesOf(source)[0]!;
  expect(machine.findings.map(({ what }) => what)).toEqual([]);
  const effort = visits === undefined ? {} : { effort: { visits, looks: 0 } };
  const engine = toEnd(makeExactEngine(buildCircuit(machine), effort));
  return { engine, findings: toEnd(runChecks(engine)) };
}

describe("a proposal whose machines were not searched to the end", () => {
  it("with everything searched says that there is no difference", () => {
    const difference = toEnd(differenceOf(sideOf(text("20 A 125 V")), sideOf(text("20 A 125 V"))));
    expect(difference.open).toEqual([]);
    expect(verdictOf(difference).headline).toMatch(/^No difference/);
  });

  it("says what was not worked out instead of that there is no difference", () => {
    const difference = toEnd(differenceOf(sideOf(text("20 A 125 V"), 0), sideOf(text("20 A 125 V"), 0)));
    expect(difference.open).toContain("SW");
    const verdict = verdictOf(difference);
    expect(verdict.headline).not.toMatch(/^No difference/);
    expect(verdict.lines.map((line) => line.text).join(" ")).toMatch(/^Not worked out to the end .* SW/);
  });

  it("does not say plainly that a finding is gone where its check could not judge", () => {
    const before = sideOf(text("5 A 125 V"));
    const difference = toEnd(differenceOf(before, sideOf(text("5 A 125 V"), 0)));
    const lines = verdictOf(difference).lines.map((line) => line.text);
    expect(before.findings.filter(({ id }) => id === "contact-over-rating").length).toBeGreaterThan(0);
    for (const line of lines.filter((each) => each.startsWith("No longer found")))
      expect(line).toContain("could be judged to the end");
    expect(lines.join(" ")).toMatch(/SW could not be judged to the end/);
  });
});

describe("a switch of 16(4) A whose motor hides behind a larger heater", () => {
  const { engine } = sideOf(text("16(4) A 125 V"));
  const machine = engine.circuit.machine;
  const contact = machine.contacts.find(({ name }) => name === "SW")!;

  it("is told in its readout and as the nearest to its rating", () => {
    const { facts } = contactReadout({ machine, circuit: engine.circuit, engine } as never, contact.id);
    const breaks = facts.find(({ name }) => name === "breaks")!.text;
    expect(breaks).toBe(
      "12.5 A; for motors alone 6 A; 150 % of 4 A motor load (the mark in brackets, IEC 61058-1); with SW on, SEL in heat",
    );
    expect(contactDuty(engine, contact).nearest).toMatchObject({ verb: "breaks", proved: true });
    expect(contactDuty(engine, contact).nearest!.share).toBeCloseTo(1.5, 9);
  });

  it("counts for the odds of its contacts burning", () => {
    const { engine: one } = sideOf(text("16(1.5) A 125 V"));
    const id = one.circuit.machine.contacts.find(({ name }) => name === "SW")!.id;
    expect(dutyOf(one, id)!.words).toBe("it makes up to 12 A where 9 A is its rating");
  });

  it("does not fit in the place of one of 16 A for both", () => {
    const changed = machinesOf(text("16(4) A 125 V"))[0]!;
    const replace = { edits: [{ edit: "replace", part: { text: "SW" } }] } as never;
    const fits = (visits?: number) =>
      fitsOf(sideOf(text("16(16) A 125 V"), visits).engine, changed, replace, new Map())[0]!.lines;
    expect(fits()).toContainEqual({
      about: "SW",
      text: "breaks 6 A in this machine; the new part may break 4 A motor load (the mark in brackets, IEC 61058-1).",
      fits: "wrong",
    });
    expect(fits(0).some(({ text: said }) => said.startsWith("could not be judged to the end: it breaks"))).toBe(true);
  });
});

it("what is a bound only is named", () => {
  expect(boundsInWords(sideOf(text("20 A 125 V")).engine)).toBeUndefined();
  expect(boundsInWords(sideOf(text("20 A 125 V"), 0).engine)).toMatch(/cut short.*SW/);
});
