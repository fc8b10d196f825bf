/** A heater that loses its fan through a rewire: danger, though no air switch is written. Trade judgement, no published source. */
import { describe, expect, it } from "vitest";
import { linesOf, proposedTo } from "./support.ts";

const machine = `machine "Larkfield DC2 drying cabinet"
supply single 230 V 50 Hz breaker 16 A legs L N PE
selector PW { positions off dry cool
  contact heat 1 to 2 in dry rated 16 A 250 V
  contact fan  1 to 3 in dry or cool rated 16(4) A 250 V
}
level WL "water under the heater" { water empty full
  contact 1 to 2 in full rated 16 A 250 V
}
thermostat RT opens 70 C closes 64 C warmed by HT rated 16 A 250 V
limit HL opens 95 C closes 75 C self-resetting senses HT rated 16 A 250 V
heater HT "warm air heater" 1000 W 230 V
heater BT "bath heater" 1000 W 230 V guarded by WL in full
limit BL opens 95 C closes 75 C self-resetting senses BT rated 16 A 250 V
fan FN "circulation fan" 230 V 45 W impedance-protected
lamp DL 10 W 230 V
wire L to PW.1
wire PW.2 to RT to HL to HT to N
wire PW.2 to WL to BL to BT to N
wire PW.3 to FN to N
wire L to DL to N
`;
const air = (edits: string) =>
  linesOf(proposedTo(machine, `proposal "p" {\n${edits}\n}`)).filter((line) => line.includes("Air lost"));

describe("a fan that ran whenever the heater did", () => {
  it("for other volts", () => {
    expect(air("replace FN by fan 400 V 45 W impedance-protected")).toEqual([
      expect.stringContaining("can heat while FN gets too few volts to turn as it should; before, they never did."),
    ]);
  });

  it.each([
    ["its wire taken off", "remove wire PW.3 to FN.1"],
    ["taken out", "remove FN"],
    [
      "fed from the lamp's side of a switch",
      "add switch S 1 to 2 closed in on, open in off\nremove wire PW.3 to FN.1\nwire PW.3 to S to FN.1",
    ],
  ])("%s", (_name, edits) => {
    const [told, ...more] = air(edits);
    expect(more).toEqual([]);
    expect(told).toContain("danger: Air lost: HT (warm air heater) and BT (bath heater) can heat while FN");
    expect(told).toContain("stands still; before, they never did. A state that shows it: PW in dry");
  });

  it.each([
    ["fed from the heater's side", "remove wire PW.3 to FN.1\nwire PW.2 to FN.1"],
    ["another fan in its place", "remove FN\nadd fan F2 230 V 60 W impedance-protected\nwire PW.3 to F2 to N"],
    ["only the heater larger", "change HT to 1500 W"],
  ])("nothing is lost: %s", (_name, edits) => {
    expect(air(edits)).toEqual([]);
  });
});

it("a dryer's motor that moves the blower counts as its fan, and a bridged speed switch is told first", () => {
  const dryer = `machine "Larkfield D5"
supply 120/240 V 60 Hz breaker 30 A
switch TM 1 to 2 closed in on, open in off rated 25 A 240 V
push START
limit HL opens 121 C closes 93 C self-resetting senses HT
heater HT 5400 W 240 V
motor DM 120 V 1/3 hp thermally-protected {
  winding main  4 to 5  runs 5.2 A pf 0.62  starts 22 A pf 0.62
  winding start 3 to 5  starts 14 A pf 0.88
  speed-switch {
    contact 6 to 3  while stopped
    contact 7 to 4  while running
    contact 1 to 2  while running
  }
  moves "drum and blower"
}
wire L1 to TM.1
wire TM.2 to HL to HT to DM(2 1) to L2
wire TM.2 to START to DM.4
wire TM.2 to DM.7
wire DM.4 to DM.6
wire DM.5 to N
`;
  const lines = linesOf(proposedTo(dryer, `proposal "p" {\n  jumper DM.1 to DM.2\n}`));
  expect(lines[0]).toContain("The speed switch DM.1-2 is bridged: HT can be energised where DM.1-2 kept it off.");
  expect(lines.join("\n")).toContain("Air lost: HT can heat while DM.main stands still; before, it never did.");
});

it("a part replaced by one without a label is guarded as it was", () => {
  const lines = linesOf(proposedTo(machine, `proposal "p" {\n  replace BT by heater 1200 W 230 V\n}`));
  expect(lines.filter((line) => line.includes("uard"))).toEqual([]);
  const bridged = linesOf(
    proposedTo(machine, `proposal "p" {\n  replace BT by heater 1200 W 230 V\n  jumper WL.1 to WL.2\n}`),
  );
  expect(bridged.join("\n")).toContain(
    "danger: Guard defeated: BT (bath heater) can work while its guard does not hold.",
  );
});

it("what only stops where the machine cannot be any more is not told", () => {
  const lines = linesOf(proposedTo(machine, `proposal "p" {\n  remove HT\n}`));
  expect(lines.filter((line) => line.includes("DL follows the same condition"))).toEqual([]);
  expect(lines.join("\n")).toContain("HT (warm air heater)");
});

it("a heater fed past its timer is on by itself as soon as the machine is plugged in: danger", () => {
  const past = linesOf(proposedTo(machine, `proposal "p" {\n  remove wire PW.2 to RT.1\n  wire L to RT.1\n}`));
  expect(past.join("\n")).toContain(
    "danger: On by itself: HT (warm air heater) is on with every control as it rests. Before, it was off then.",
  );
  expect(linesOf(proposedTo(machine, `proposal "p" {\n  change HT to 1500 W\n}`)).join("\n")).not.toContain(
    "by itself",
  );
});
