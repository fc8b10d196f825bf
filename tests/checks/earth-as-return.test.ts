/** Current through the ground: a load wired to it is told, a secondary that is bonded to it is not. Worked by hand. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (wires: string): string[] => {
  const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
switch S2 1 to 2 closed in on, open in off
transformer T1 40 VA { primary 1 to 2 120 V; secondary 3 to 4 24 V }
valve Y1 24 V 10 W
lamp DL 10 W 120 V
${wires}
`);
  expect(machine!.findings.filter(({ gravity }) => gravity === "error")).toEqual([]);
  return findingsOf(machine!, {})
    .filter(({ id }) => id === "earth-as-return")
    .map(({ gravity, what }) => `${gravity}: ${what}`);
};

const primary = "wire L to SW to T1.1\nwire T1.2 to N\nwire L to DL to N";
const lamp = "error: DL returns its current through the ground, at DL.2.";

it("a lamp between live and ground", () => {
  expect(told("wire L to SW to DL to PE")).toEqual([lamp]);
});

it("the same through a switch that ties it to the ground", () => {
  expect(told("wire L to DL.1\nwire DL.2 to SW to PE")).toEqual([lamp]);
});

it("a secondary with one end bonded: its current goes round the secondary, not through the ground", () => {
  expect(told(`${primary}\nwire T1.3 to S2 to Y1 to T1.4\nbond T1.4 to PE`)).toEqual([]);
});

it("a secondary whose load comes back over the ground: two bonds, and the ground between them is the wire", () => {
  expect(told(`${primary}\nwire T1.3 to S2 to Y1.1\nbond Y1.2 to PE\nbond T1.4 to PE`)).toEqual([
    "error: Y1 returns its current through the ground, at Y1.2.",
  ]);
});

it("a primary that comes back through the ground, with a load on its secondary", () => {
  expect(told("wire L to SW to T1.1\nwire T1.2 to PE\nwire T1.3 to Y1 to T1.4\nwire L to DL to N")).toEqual([
    "error: T1 returns the current of its primary through the ground, at T1.2.",
  ]);
});

it("a bonded secondary does not hide a lamp beside it that really uses the ground", () => {
  expect(
    told(`wire L to SW to T1.1\nwire T1.2 to N\nwire T1.3 to Y1 to T1.4\nbond T1.4 to PE\nwire L to DL to PE`),
  ).toEqual([lamp]);
});

it("a load from a live leg to the secondary, whose other end is bonded, does return through the ground", () => {
  expect(told(`${primary}\nbond T1.4 to PE\nwire L to S2 to Y1 to T1.4`)).toEqual([
    "error: Y1 returns its current through the ground, at Y1.2.",
  ]);
});
