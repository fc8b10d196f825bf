/**
 * "A smaller breaker would be enough" is said only of a machine whose every load is counted. The sizes follow NEC 422.11(E), from memory:
 * 10 A draws at most 20 A of breaker.
 */
import { describe, expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (text: string): string[] =>
  findingsOf(machinesOf(text)[0]!, {})
    .filter(({ id }) => id === "breaker-too-large")
    .map(({ what }) => what);

const machine = (more: string, breaker = 30): string => `machine "Bench"
supply split 120/240 V 60 Hz breaker ${breaker} A legs L1 N L2 PE
switch SW 1 to 2 closed in on, open in off
limit HL opens 121 C closes 93 C self-resetting senses HT
heater HT 2400 W 240 V
wire L1 to SW to HL to HT to L2
${more}
`;

it("all loads counted: said, with the amount that they draw", () => {
  expect(told(machine(""))).toEqual([
    "The breaker is rated 30 A, and the machine draws 10 A at most; 20 A would be enough.",
  ]);
});

describe("silent while a load is left out:", () => {
  it.each([
    ["no wire ends on it", "heater HB 5400 W 240 V"],
    ["one end is loose", "heater HB 5400 W 240 V\nwire L1 to HB.1"],
    ["it never gets volts", "heater HB 5400 W 240 V\nwire L1 to HB to L1"],
    [
      "its switch never closes",
      "heater HB 5400 W 240 V\nswitch SB 1 to 2 closed in on, open in off\nlink TL opens 90 C senses HB\nwire L1 to SB to HB.1",
    ],
    [
      "it only ever gets part of its volts",
      "heater HB 5400 W 240 V\nheater HC 5400 W 240 V\nwire L1 to HB to HC to L2",
    ],
    ["what it draws is not written", "heater HB 240 V\nwire L1 to HB to L2"],
    [
      "its motor only hums",
      "motor DM 240 V 3 hp { winding main 4 to 5; winding start 4 to 6 }\nwire L1 to DM.4\nwire DM.5 to L2",
    ],
    ["an error of writing leaves its wire out", "heater HB 5400 W 240 V\nwire L1 to HB to L9"],
    ["an error of writing leaves the load out", "hetaer HB 5400 W 240 V\nwire L1 to SW"],
    [
      "a relay before it never comes to rest",
      "relay K { coil A1 to A2 240 V 5 W; contact 1 to 2 while dropped-out }\nwire L1 to K(1 2) to K(A1 A2) to L2",
    ],
  ])("%s", (_why, more) => {
    expect(told(machine(more))).toEqual([]);
  });
});

it("a neon pilot lamp, of which nobody writes the milliampere, hides nothing", () => {
  expect(told(machine("lamp PL neon 120 V\nwire SW.2 to PL to N"))).toHaveLength(1);
});

it("a load that the text means to work at reduced volts counts", () => {
  expect(told(machine("heater HB 1000 W 240 V also at 120 V\nwire L1 to HB to N"))).toHaveLength(1);
});

describe("a fuse inside", () => {
  const fused = (more: string): string => `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
fuse F1 10 A
lamp DL 120 W 120 V
wire L to F1 to SW to DL to N
${more}
`;
  it("is judged when all loads are counted", () => {
    expect(told(fused(""))).toEqual(["F1 is rated 10 A and carries 1 A at most; 1.6 A would be enough."]);
  });
  it("is not while a load may still come behind it", () => {
    expect(told(fused("heater HB 800 W 120 V"))).toEqual([]);
  });
});

/** A fuse opens at its amps: too few are told of it as a fuse, whatever is written of the breaker, and never as a contact that needs a larger one. */
describe("a fuse of 2 A that carries 10 A", () => {
  it.each(["", "breaker 15 A"])("supply %s", (breaker) => {
    const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz ${breaker} legs L N PE
fuse F1 2 A 250 V
switch SW 1 to 2 closed in on, open in off rated 15 A 125 V
limit HL opens 121 C closes 93 C self-resetting senses HT rated 15 A 125 V
heater HT 1200 W 120 V
wire L to F1 to SW to HL to HT to N
`);
    const findings = findingsOf(machine!, {});
    expect(findings.map(({ id, what }) => `${id}: ${what}`)).toEqual([
      "breaker-size: F1 is rated 2 A and carries 10 A.",
    ]);
    expect(findings[0]!.advice).toContain("never fit a larger one");
  });

  it("is told when its volts are too low for the line", () => {
    const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
fuse F1 2 A 32 V
lamp DL 120 W 120 V
switch SW 1 to 2 closed in on, open in off rated 15 A 125 V
wire L to F1 to SW to DL to N
`);
    const [finding] = findingsOf(machine!, {});
    expect(finding).toMatchObject({
      id: "contact-over-rating",
      what: "F1 works at 120 V, but is rated up to 32 V only.",
      advice: "Fit one of the same amps, rated for at least 120 V.",
    });
  });
});
