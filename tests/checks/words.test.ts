/** How findings read aloud. */
import { describe, expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { amps, controlName, verb, volts, watts } from "../../server/checks/words.ts";
import { describeCondition } from "../../server/machine/describe.ts";
import { onlyPossible } from "../../server/states/only-possible.ts";
import { analyse, findingsOf, machinesOf, toEnd } from "./analysed.ts";

it("amounts are read as from a meter, rounding noise as zero", () => {
  expect([1.42e-14, 0.005, 2.345, 119.7].map(volts)).toEqual(["0 V", "5 mV", "2.35 V", "120 V"]);
  expect([1e-9, 0.00002, 0.033, 0.5, 22.5].map(amps)).toEqual(["0 A", "20 µA", "33 mA", "500 mA", "22.5 A"]);
  expect([1e-5, 9.5, 950, 5400].map(watts)).toEqual(["0 W", "9.5 W", "950 W", "5.4 kW"]);
});

it("verbs follow their subjects", () => {
  expect([1, 2].map((n) => verb(n, "is", "are"))).toEqual(["is", "are"]);
});

const supply = "supply single 120 V 60 Hz breaker 15 A legs L N PE\nswitch SW 1 to 2 closed in on, open in off\n";

it("two thermostats work, one works", () => {
  const [machine] = machinesOf(`machine "Bench"
${supply}thermostat CC opens 68 C closes 57 C
thermostat DB opens 70 C closes 60 C
heater HT 1200 W 120 V
wire L to SW to CC to DB to HT to N
`);
  const finding = findingsOf(machine!, {}).find(({ id }) => id === "load-without-protector")!;
  expect(finding.why).toContain("CC and DB work in normal use and are not protection");
});

describe("a contact over its rating", () => {
  const findingAt = (rating: string) =>
    findingsOf(
      machinesOf(`machine "Bench"
${supply.replace("off\n", `off rated ${rating}\n`)}limit HL opens 121 C closes 93 C self-resetting senses HT
heater HT 1200 W 120 V
wire L to SW to HL to HT to N
`)[0]!,
      {},
    ).find(({ id }) => id === "contact-over-rating")!;
  it("names the point that holds at its volts, not the one for other volts, and says an amount once", () => {
    const finding = findingAt("7.5 A 125 V or 4 A 250 V");
    expect(finding.what).toBe("SW carries, makes and breaks 10 A; rated 7.5 A at 125 V.");
    expect(finding.related.map(({ text }) => text)).toEqual(["its rating: 7.5 A 125 V", "feeds HT"]);
  });
});

it("things inside a part are named in words", () => {
  const [machine] = machinesOf(`machine "Bench"
${supply}valve GV {
  coil hold 1 to 2 120 V 5 W
  coil main 3 to 4 120 V 5 W
  seat first opens when hold on; stays while hold on
  seat second opens when main on; stays while main on
}
wire L to SW to GV(1 2) to N
wire SW.2 to GV(3 4) to N
expect GV off when SW on
`);
  expect(machine!.controls.map((control) => controlName(machine!, control))).toContain("GV's second seat");
  const finding = findingsOf(machine!, {}).find(({ id }) => id === "expectation")!;
  expect(findingText(finding)).toContain("GV's first seat open, GV's second seat open");
});

it("positions that never occur are left out of a condition", () => {
  const [machine] = machinesOf(`machine "Bench"
${supply}motor DM 120 V 1/3 hp thermally-protected {
  winding main 4 to 5
  speed-switch { contact 1 to 2 while running }
}
lamp DL 10 W 120 V
wire L to SW to DM.4
wire DM.5 to N
wire L to DM(1 2) to DL to N
`);
  const engine = toEnd(analyse(machine!));
  const motor = machine!.controls.find(({ role }) => role === "motor")!;
  const positions = Uint8Array.from(motor.positions, (_, at) => (at > 0 ? 1 : 0));
  const condition = [[{ control: motor.id, positions }]];
  expect(describeCondition(machine!, condition)).toBe("DM in hums or running");
  expect(describeCondition(machine!, onlyPossible(engine, condition))).toBe("DM running");
});
