/** Comments that silence a finding. */
import { describe, expect, it } from "vitest";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

const machine = (heater: string, above = ""): string => `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off rated 15 A 125 V
${above}${heater}
wire L to SW to HT to N
`;
const ids = (text: string): string[] => findingsOf(machinesOf(text)[0]!, {}).map(({ id }) => id);

describe("# silence", () => {
  it("works on the line, with a reason", () => {
    expect(ids(machine("heater HT 1000 W 120 V"))).toEqual(["load-without-protector"]);
    expect(ids(machine("heater HT 1000 W 120 V # silence load-without-protector: somebody watches it"))).toEqual([]);
  });
  it("works from the line above, with CRLF too, and past other comments", () => {
    const above = "# silence load-without-protector: somebody watches it\n";
    expect(ids(machine("heater HT 1000 W 120 V", above))).toEqual([]);
    expect(ids(machine("heater HT 1000 W 120 V", above).replaceAll("\n", "\r\n"))).toEqual([]);
    expect(ids(machine("heater HT 1000 W 120 V", `${above}# a remark\n`))).toEqual([]);
  });
  it("does nothing without a reason, and says so", () => {
    expect(ids(machine("heater HT 1000 W 120 V # silence load-without-protector"))).toEqual([
      "load-without-protector",
      "silencer-without-reason",
    ]);
  });
  it("does not reach further than the next line", () => {
    const far = "# silence load-without-protector: somebody watches it\nlamp DL 10 W 120 V # other\n";
    expect(ids(`${machine("heater HT 1000 W 120 V", far)}wire L to SW to DL to N\n`)).toContain(
      "load-without-protector",
    );
  });
  it("tells a silencer that silences nothing, or names no finding", () => {
    expect(
      ids(machine("heater HT 1000 W 120 V thermostat-less", "# silence legs-shorted: no reason left\n")),
    ).toContain("silencer-unused");
    expect(ids(machine("heater HT 1000 W 120 V", "# silence nonsense: why not\n"))).toContain("silencer-unknown");
  });
  it("does not call a silencer of a check unused that has not run yet", () => {
    expect(ids(machine("heater HT 1000 W 120 V # silence case-fault: old machine"))).not.toContain("silencer-unused");
  });
  it("belongs to the machine it stands in: the other one does not call it unused", () => {
    const twin = (name: string, silencer: string) =>
      machine("heater HT 1000 W 120 V", silencer).replace('"Bench"', `"${name}"`);
    const text =
      twin("One", "") + twin("Two", "# silence load-without-protector: watched\n# silence nonsense: why not\n");
    const told = machinesOf(text).map((one) => findingsOf(one, {}).map(({ id }) => id));
    expect(told).toEqual([["load-without-protector"], ["silencer-unknown"]]);
  });
  it("is told once, though checks run in two phases", () => {
    const [one] = machinesOf(
      machine("heater HT 1000 W 120 V", "# silence nonsense: x\n# silence legs-shorted: y\n# silence case-fault: z\n"),
    );
    const phases = (["main", "later"] as const).flatMap((phase) => findingsOf(one!, { phase, analyse }));
    const told = phases
      .filter(({ id }) => id.startsWith("silencer"))
      .map(({ id, what }) => `${id} ${what.split(" ")[3]}`);
    expect(told.sort()).toEqual(
      ["silencer-unknown called", "silencer-unused legs-shorted", "silencer-unused case-fault"].sort(),
    );
  });
});
