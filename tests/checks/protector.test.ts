/** Protection that is there, that is indirect, and that only seems to be there. Trade judgement, no published source. */
import { describe, expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const dryer = (link: string, limit: boolean): string => `machine "Bench"
supply 120/240 V 60 Hz breaker 30 A
switch SW 1 to 2 closed in on, open in off
thermostat CT opens 68 C closes 57 C
limit HL opens 121 C closes 93 C self-resetting senses HT
link TL 91 C ${link}
heater HT 5400 W 240 V
motor DM 120 V 1/3 hp thermally-protected {
  winding main 4 to 5
  speed-switch { contact 1 to 2 while running }
}
wire L1 to SW to CT ${limit ? "to HL " : ""}to HT to DM(2 1) to L2
wire L1 to TL to DM.4
wire DM.5 to N
`;

const told = (text: string) => findingsOf(machinesOf(text)[0]!, {}).filter(({ id }) => id === "load-without-protector");

describe("a heater with a link on the blower", () => {
  it("and a high limit in series is protected", () => {
    expect(told(dryer('at "blower housing"', true))).toEqual([]);
  });
  it("without the limit is a warning that names the contact it hangs on", () => {
    const [finding, ...more] = told(dryer('at "blower housing"', false));
    expect(more).toEqual([]);
    expect(finding?.gravity).toBe("warning");
    expect(finding?.what).toBe(
      "HT has no protector in series that feels it; TL stops it only indirectly, by way of DM.1-2.",
    );
    expect(finding?.why).toContain("CT works in normal use and is not protection");
  });
  it("that senses the motor only is an error: nothing feels the heater", () => {
    expect(told(dryer("senses DM.main", false)).map(({ gravity }) => gravity)).toEqual(["error"]);
  });
});
