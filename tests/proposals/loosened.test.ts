/** A protector of weaker marks in the place of a stronger one, and a larger breaker, are danger. Trade judgement, no published source. */
import { describe, expect, it } from "vitest";
import { linesOf, proposedTo } from "./support.ts";

const dryer = `machine "Larkfield T7 condenser tumble dryer"
supply single 230 V 50 Hz breaker 16 A legs L N PE
switch SW 1 to 2 closed in on, open in off rated 16 A 250 V
thermostat T1 opens 65 C closes 58 C rated 16 A 250 V
limit F1 "self-resetting cut-out" opens 110 C closes 85 C self-resetting senses HT rated 16 A 250 V
limit F2 "hand reset cut-out" opens 140 C hand-reset senses HT rated 16 A 250 V
link F3 169 C senses HT rated 16 A 250 V
heater HT 2000 W 230 V
wire L to SW to T1 to F1 to F2 to F3 to HT to N`;
const dangers = (edit: string) =>
  linesOf(proposedTo(dryer, `use "../machine.camleaf"\nproposal "p" {\n  ${edit}\n}\n`)).filter((line) =>
    line.startsWith("danger: "),
  );

describe("less protection than before", () => {
  it.each([
    [
      "a thermostat for a limit",
      "replace F2 by thermostat opens 140 C closes 130 C rated 16 A 250 V",
      "Protection lost: F2 was a limit and is a thermostat now, which works in normal use and protects nothing.",
    ],
    [
      "a limit that opens hotter",
      "replace F1 by limit opens 210 C closes 150 C self-resetting rated 16 A 250 V",
      "opens at 210 °C instead of 110 °C: what it protects gets hotter before it opens.",
    ],
    [
      "one that closes again by itself",
      "replace F2 by limit opens 140 C closes 100 C self-resetting rated 16 A 250 V",
      "closes again by itself; the old one has to be reset by hand",
    ],
    [
      "a limit for a link",
      "replace F3 by limit opens 169 C hand-reset rated 16 A 250 V",
      "has to be reset by hand; the old one opens for good",
    ],
    [
      "a larger breaker",
      "change supply single 230 V 50 Hz breaker 32 A legs L N PE",
      "The breaker is 32 A instead of 16 A",
    ],
  ])("%s", (_, edit, said) => {
    const told = dangers(edit);
    expect(told).toHaveLength(1);
    expect(told[0]).toContain(said);
  });
});

describe("as much protection, or more", () => {
  it.each([
    ["the same limit", "replace F1 by limit opens 110 C closes 85 C self-resetting rated 16 A 250 V"],
    ["of the next stamp", "replace F1 by limit opens 112 C closes 85 C self-resetting rated 16 A 250 V"],
    ["that opens sooner", "replace F1 by limit opens 100 C closes 85 C self-resetting rated 16 A 250 V"],
    ["reset by hand", "replace F1 by limit opens 110 C hand-reset rated 16 A 250 V"],
    ["a thermostat for a thermostat", "replace T1 by thermostat opens 70 C closes 60 C rated 16 A 250 V"],
    ["a smaller breaker", "change supply single 230 V 50 Hz breaker 13 A legs L N PE"],
    ["no breaker written", "change supply single 230 V 50 Hz legs L N PE"],
  ])("%s", (_, edit) => expect(dangers(edit)).toEqual([]));
});

it("the fit of the part says so too, and a capacitor of other microfarads does not fit", () => {
  const fits = (edit: string, text = dryer) =>
    proposedTo(text, `use "../machine.camleaf"\nproposal "p" {\n  ${edit}\n}\n`)
      .fits!.flatMap(({ lines }) => lines)
      .filter((line) => line.fits === "wrong")
      .map(({ about, text: said }) => `${about} ${said}`);
  expect(fits("replace F1 by limit opens 210 C closes 150 C self-resetting rated 16 A 250 V")).toEqual([
    expect.stringContaining("F1 protects less than the old one."),
  ]);
  const motor = `${dryer}
motor DM 230 V capacitor-run thermally-protected {
  winding main 1 to 2 runs 1.1 A pf 0.8 starts 3.1 A pf 0.7
  winding aux  3 to 2 runs 0.6 A starts 0.9 A
}
capacitor CR 8 uF 450 V run
wire SW.2 to DM.1 to CR to DM.3
wire DM.2 to N`;
  // IEC 60252-1, from memory: tolerances of 5 or 10 %.
  expect(fits("replace CR by capacitor 80 uF 450 V run", motor)).toEqual([
    expect.stringMatching(/^CR has 80 .F on the new part, 8 .F/),
  ]);
  expect(fits("replace CR by capacitor 8.5 uF 450 V run", motor)).toEqual([]);
});

it("an overload that lets more amps through", () => {
  const motor = (overload: string) => `machine "Larkfield WR2"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
overload OL opens 110 C or ${overload} after 8 s, closes 61 C senses M
motor M 120 V 3 A
wire L to SW to OL to M to N`;
  const told = (amps: string) =>
    linesOf(
      proposedTo(
        motor("9 A"),
        `proposal "p" {\n  replace OL by overload opens 110 C or ${amps} after 8 s, closes 61 C\n}`,
      ),
    ).filter((line) => line.startsWith("danger: "));
  expect(told("15 A")).toHaveLength(1);
  expect(told("15 A")[0]).toContain("OL opens at 15 A instead of 9 A: what it protects may draw more before it opens.");
  expect(told("9 A")).toEqual([]);
});
