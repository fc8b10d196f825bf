/** Which contacts a fault to the case names: those that keep the load off, and no others. */
import { expect, it } from "vitest";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

const text = (on: string) => `machine "Larkfield R3"
supply single 230 V 50 Hz breaker 16 A legs L N PE
frame CAB
selector DIR { positions ${on}
  contact l 1 to 2 in left rated 6(4) A 250 V
  contact r 1 to 3 in right rated 6(4) A 250 V
}
overload OL opens 130 C closes 90 C senses DM rated 10(4) A 250 V
motor DM 230 V capacitor-run {
  winding one 1 to 3 runs 1.1 A pf 0.85 starts 3 A pf 0.75
  winding two 2 to 3 runs 1.1 A pf 0.85 starts 3 A pf 0.75
  turns left with 1 and 2 alike
  on CAB
}
capacitor CR 8 uF 450 V run
wire L to DM.3
wire DM.1 to DIR.2
wire DM.2 to DIR.3
wire DM.1 to CR to DM.2
wire DIR.1 to OL to N
bond CAB to PE
`;
const told = (on: string) =>
  findingsOf(machinesOf(text(on))[0]!, { analyse }).flatMap(({ id, what }) => (id === "case-fault" ? [what] : []));

it("a reversing switch that stands on one side is not in the way with its other one", () => {
  expect(told("left right")).toEqual([
    "If DM.1 touches grounded metal, DM.one runs with OL open: its other end stays on a live leg.",
    "If DM.2 touches grounded metal, DM.two runs with OL open: its other end stays on a live leg.",
  ]);
});

it("in its middle both sides are", () => {
  expect(told("stop left right")[0]).toContain("DM.one runs with DIR.l, DIR.r and OL open");
});
