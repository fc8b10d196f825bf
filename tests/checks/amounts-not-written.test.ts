/** Where nothing says what a load takes, no contact is said to be over its rating for it, and what is known is still told. */
import { expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { contactReadout } from "../../server/editor/contact-readout.ts";
import { viewOf } from "../editor/support.ts";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (text: string) =>
  findingsOf(machinesOf(text)[0]!, {}).filter(({ id }) => id === "contact-over-rating" || id === "breaker-size");

it("a coil whose volts are half typed on a machine of two voltages is not taken for one of 120 V", () => {
  // 5400 W at 240 V are 22.5 A; at 120 V they would be 90 A through a switch of 25 A.
  const text = (volts: string) => `machine "m"
    supply 120/240 V 60 Hz breaker 30 A
    switch SW 1 to 2 closed in on, open in off rated 25 A 240 V
    heater HT 5400 W ${volts} attended
    wire L1 to SW to HT to L2`;
  for (const volts of ["", "24", "240", "240 V"]) expect(told(text(volts)).map(findingText)).toEqual([]);
  expect(told(text("120 V")).map(({ gravity }) => gravity)).toContain("error");
});

const twoHeaters = (known: string) => `machine "m"
  supply single 230 V 50 Hz breaker 16 A legs L N PE
  switch SW 1 to 2 closed in on, open in off rated 6 A 250 V
  heater A ${known} 230 V attended
  heater B attended
  wire L to SW to A to N
  wire SW.2 to B to N`;

it("over only by what is assumed: a note that says so", () => {
  // 1000 W at 230 V are 4.35 A, within 6 A; B is taken for a usual heater.
  const [finding, ...more] = told(twoHeaters("1000 W"));
  expect(more).toEqual([]);
  expect(finding).toMatchObject({ gravity: "information" });
  expect(finding!.what).toContain("the amps of B are only assumed");
});

it("over by what is written, whatever the other takes: an error", () => {
  // 2000 W at 230 V are 8.7 A.
  expect(told(twoHeaters("2000 W")).map(({ gravity }) => gravity)).toContain("error");
});

it("the reading of the contact says what of it is assumed", () => {
  const [machine] = viewOf(twoHeaters("1000 W"), [], true).view.machines;
  const facts = contactReadout(machine!, machine!.machine.contacts[0]!.id).facts;
  expect(facts.find(({ name }) => name === "only assumed")?.text).toBe("what B takes of it: the text does not say");
});
