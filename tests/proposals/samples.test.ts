/** The six worked proposals, read as a technician reads them (trade judgement, no published source; amps by Ohm's law). */
import { expect, test } from "vitest";
import { linesOf, proposed, sample } from "./support.ts";

const done = (base: string, name: string) => proposed(base, sample(`proposals/${name}`));

test("lid held: says first and loudly that the basket can turn with the lid open", () => {
  const result = done("top-loading-washer", "lid-held-for-spin-test");
  expect(result.verdict!.headline).toMatch(
    /^DANGER: LID\.1-2.* is bridged\. This must be removed before the machine is used/,
  );
  expect(linesOf(result)[0]).toMatch(
    /guard LID.*basket can move.*Remove the bridge.*TM in spin 1, LID open, DM running right/,
  );
  expect(result.difference!.guards).toMatchObject([{ part: "DM", change: "defeated" }]);
});

test("thermostat jumped: the coil heats with the thermostat open, the limit is still there", () => {
  const result = done("electric-dryer", "thermostat-jumped");
  expect(result.verdict!.headline).toMatch(/^DANGER: CT .*must be removed/);
  expect(linesOf(result)[0]).toMatch(/HT \(drying coil\) can be energised where CT.*CT open, DM running/);
  expect(result.difference!.protection.map(({ device, load }) => `${device} ${load}`)).toEqual([
    "CT (cycling thermostat) HT (drying coil)",
  ]);
});

test("smaller timer: the contacts that feed the motor are over their rating", () => {
  const result = done("top-loading-washer", "smaller-timer");
  expect(result.verdict!.headline).toMatch(/^DANGER/);
  const danger = linesOf(result).filter((line) => line.startsWith("danger"));
  expect(danger.some((line) => /TM\.spin.*makes 23\.8 A; rated 5 A/.test(line))).toBe(true);
  expect(linesOf(result).join("\n")).not.toMatch(/No longer found: TM\.spin/);
});

test("relay: the starting current is gone from the timer and is on the relay", () => {
  const result = done("top-loading-washer", "relay-for-the-motor");
  expect(result.verdict!.headline).toBe("No new danger found by these checks.");
  const makes = result.difference!.contacts.filter(({ act }) => act === "makes");
  const of = (name: string) => makes.find(({ contact }) => contact.startsWith(name))!;
  for (const contact of ["TM.agit", "TM.spin"]) {
    expect(of(contact).before).toBeGreaterThan(20);
    expect(of(contact).after).toBeLessThan(1);
  }
  expect(of("K.1-2").after).toBeCloseTo(of("TM.spin").before!, 1);
  expect(result.difference!.vanishedFindings.map(({ id }) => id)).toContain("contact-over-rating");
});

test("coil from the other leg: in auto the timer motor has both ends on one potential, and START sees 240 V", () => {
  const result = done("electric-dryer", "coil-on-the-other-leg");
  expect(result.verdict!.headline).toMatch(/^DANGER/);
  const lines = linesOf(result).join("\n");
  expect(lines).toMatch(/danger: New: START.*240 V, but is rated up to 125 V/);
  expect(lines).toMatch(/trouble: .*expect TM advances when TM in auto.*gets 0 V/);
});

test("120/208 V: three quarters of the heat, (208/240)^2, and a weaker timer motor in auto", () => {
  const result = done("electric-dryer", "dryer-on-208-volts");
  expect(result.verdict!.headline).toBe("This change brings new trouble.");
  const heat = result.difference!.loads.find(({ load }) => load.startsWith("HT"))!;
  expect(heat.gained ?? heat.lost).toBeUndefined();
  expect(heat.watts![1] / heat.watts![0]).toBeCloseTo(0.75, 2);
});
