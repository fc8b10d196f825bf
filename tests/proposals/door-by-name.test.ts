/** A lead across a door's switch is told first, also where nobody wrote what the door guards. Trade judgement, no published source. */
import { describe, expect, it } from "vitest";
import { linesOf, proposedTo, sample } from "./support.ts";

const machine = (switches: string) => `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch DS "door switch" {
  positions shut open
  contact 1 to 2 in shut
  contact 3 to 4 in open
}
switch SW 1 to 2 closed in on, open in off
motor M 120 V 1/4 hp thermally-protected
lamp DL 10 W 120 V
${switches}`;

it("the motor behind it can run with the door open: danger", () => {
  const found = proposedTo(
    machine("wire L to SW to DS.1\nwire DS.2 to M to N\nwire L to DS.3\nwire DS.4 to DL to N\n"),
    `proposal "p" {
  jumper DS.1 to DS.2
}`,
  );
  expect(found.verdict?.headline).toBe(
    "DANGER: DS.1-2 (door switch) is bridged. This must be removed before the machine is used.",
  );
  expect(linesOf(found)[0]).toContain(
    "The door or lid switch DS.1-2 (door switch) is bridged: M can be energised where DS.1-2 (door switch) kept it off.",
  );
});

it("only the drum lamp hangs on that contact: none", () => {
  const found = proposedTo(
    machine("wire L to SW to DS.1\nwire DS.2 to M to N\nwire L to DS.3\nwire DS.4 to DL to N\n"),
    `proposal "p" {
  jumper DS.3 to DS.4
}`,
  );
  expect(found.verdict?.headline).not.toContain("bridged");
});

it("fed past the door by a wire that lies across no contact alone: danger too", () => {
  const found = proposedTo(
    machine("wire L to SW to DS.1\nwire DS.2 to M to N\n"),
    `proposal "p" {\n  wire L to M.1\n}`,
  );
  expect(linesOf(found).join("\n")).toContain(
    "danger: Protection lost: the switch DS.1-2 (door switch) is no longer always in series with M.",
  );
});

it("a lead across the air switch of a burner, though no expectation speaks of it: danger", () => {
  const burner = sample("gas-burner").replace(/^expect .*$/gm, "");
  const found = proposedTo(burner, `proposal "p" {\n  jumper AIR.1 to AIR.2\n}`);
  expect(found.verdict?.headline).toBe(
    "DANGER: AIR.1-2 (speed switch of the drive motor) is bridged. This must be removed before the machine is used.",
  );
  expect(linesOf(found)[0]).toContain("GV.main (gas valve) can be energised where AIR.1-2");
});

it("a lead across a contact that only controls the heat: trouble, not danger", () => {
  const burner = sample("gas-burner").replace(/^expect .*$/gm, "");
  const found = proposedTo(burner, `proposal "p" {\n  jumper HEAT.1 to HEAT.2\n}`);
  expect(found.verdict?.headline).toBe("This change brings new trouble.");
  expect(linesOf(found)[0]).toMatch(
    /^trouble: HEAT\.1-2 .* is bridged: IG .* can be energised where .* Take a lead that was put in for a test out again\./,
  );
});

it("one of two door switches, each there for the failure of the other: danger though nothing is let go", () => {
  const oven = `machine "Larkfield M5 microwave oven"
supply single 120 V 60 Hz breaker 20 A legs L N PE
switch DOOR "door latch switches" {
  positions shut open
  contact P1 to P2 in shut rated 16 A 250 V
  contact S1 to S2 in shut rated 16 A 250 V
}
switch COOK 1 to 2 closed in on, open in off rated 16 A 250 V
transformer HT 1500 VA { primary 1 to 2 120 V; secondary 3 to 4 2100 V }
load MAG "magnetron" 2100 V draws 0.5 A pf 0.9
wire L to DOOR.P1
wire DOOR.P2 to COOK to HT.1
wire HT.2 to DOOR.S2
wire DOOR.S1 to N
wire HT.3 to MAG to HT.4`;
  for (const contact of ["P1 to DOOR.P2", "S1 to DOOR.S2"]) {
    const found = proposedTo(oven, `proposal "p" {\n  jumper DOOR.${contact}\n}`);
    expect(found.verdict?.headline).toMatch(/^DANGER: DOOR\..* is bridged/);
  }
});

const gasBurner = (label: string) => `machine "Larkfield F4 furnace"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch CALL 1 to 2 closed in on, open in off rated 5 A 125 V
switch PS "${label}" {
  positions open made
  contact 1 to 2 in made rated 5 A 125 V
}
valve GV gas 120 V draws 0.1 A
wire L to CALL to PS to GV to N`;

it.each(["pressure switch", "draught switch", "sail switch", "vacuum switch of the inducer"])(
  "a lead across the %s of a gas burner: danger",
  (label) => {
    const found = proposedTo(gasBurner(label), `proposal "p" {\n  jumper PS.1 to PS.2\n}`);
    expect(linesOf(found)[0]).toMatch(/^danger: The air or pressure switch PS\.1-2/);
  },
);

it("a lead across a float switch that is written as a plain switch: danger", () => {
  const text = `machine "Larkfield S2 sump"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch FS "float switch" {
  positions low high
  contact 1 to 2 in low rated 5 A 125 V
}
valve IV "inlet valve" 120 V draws 0.1 A
lamp PL 5 W 120 V
wire L to FS to IV to N
wire FS.2 to PL to N`;
  const found = proposedTo(text, `proposal "p" {\n  jumper FS.1 to FS.2\n}`);
  expect(linesOf(found)[0]).toMatch(/^danger: The float or water switch FS\.1-2/);
});

it("a lead across the thermostat of a fan is no danger, across one that works a contactor it names the heater", () => {
  const boiler = `machine "Larkfield RB6"
supply single 230 V 50 Hz breaker 32 A legs L N PE
switch SW 1 to 2 closed in on, open in off
relay K1 { coil A1 to A2 230 V draws 35 mA
  contact 1 to 2 while energised }
thermostat BT opens 85 C closes 80 C warmed by BH
thermostat FD "fan delay" opens 30 C closes 40 C warmed by BH
limit BL opens 110 C hand-reset senses BH
heater BH 6000 W 230 V
fan FN 230 V 30 W impedance-protected
wire L to SW to BT to K1.A1
wire K1.A2 to N
wire SW.2 to K1(1 2) to BL to BH to N
wire SW.2 to FD to FN to N
`;
  const fan = proposedTo(boiler, `proposal "p" {\n  jumper FD.1 to FD.2\n}`);
  expect(fan.verdict!.lines.map(({ weight }) => weight)).not.toContain("danger");
  expect(fan.verdict!.headline).toBe("No new danger found by these checks.");
  expect(linesOf(proposedTo(boiler, `proposal "p" {\n  jumper BT.1 to BT.2\n}`))[0]).toContain(
    "danger: The thermostat BT is bridged: BH and K1.coil can be energised where BT kept them off.",
  );
});

it("a lead across a board's contact frees what it feeds, not what happens to run meanwhile", () => {
  const dryer = `machine "Larkfield D11"
supply 120/240 V 60 Hz breaker 30 A
switch SW 1 to 2 closed in on, open in off
board MB { feed 1 to 2 120 V 2 W
  contact hr 3 to 4 }
relay HR { coil A1 to A2 120 V draws 30 mA
  contact 1 to 2 while energised }
limit HL opens 121 C closes 93 C self-resetting senses HT
heater HT 5200 W 240 V
motor DM 120 V 5 A thermally-protected { speed-switch { contact 1 to 2 while running }
  winding main 4 to 5 runs 5 A starts 20 A }
wire L1 to SW to DM.4
wire DM.5 to N
wire SW.2 to MB.1
wire MB.2 to N
wire SW.2 to MB.3
wire MB.4 to HR.A1
wire HR.A2 to N
wire L1 to HR(1 2) to HL to HT to DM(2 1) to L2
`;
  const lines = linesOf(proposedTo(dryer, `proposal "p" {\n  jumper MB.3 to MB.4\n}`));
  expect(lines.join("\n")).toContain("trouble: MB.hr is bridged: HT can be energised where MB.hr kept it off.");
});

describe("a gas valve fed past its burner control, which watches the flame", () => {
  const burner = `machine "Larkfield PD1"
supply single 230 V 50 Hz breaker 16 A legs L N PE
switch ON 1 to 2 closed in on, open in off
limit HL opens 110 C hand-reset at "duct"
board BC "burner control" { feed L to N 230 V 6 W
  contact gas P to G }
valve GV "gas valve" gas 230 V draws 90 mA
wire L to ON to HL to BC.L
wire BC.N to N
wire BC.L to BC.P
wire BC.G to GV to N
`;
  it.each([
    [
      "by a wire",
      "remove wire BC.G to GV\nwire BC.L to GV.1",
      "danger: Protection lost: the burner control BC.gas (burner control) is no longer always in series with GV (gas valve).",
    ],
    [
      "by a lead",
      "jumper BC.P to BC.G",
      "danger: The burner control BC.gas (burner control) is bridged: GV (gas valve) can be energised where BC.gas (burner control) kept it off.",
    ],
  ])("%s: danger", (_, edits, said) => {
    expect(linesOf(proposedTo(burner, `proposal "p" {\n${edits}\n}`)).join("\n")).toContain(said);
  });
});
