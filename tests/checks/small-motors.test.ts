/** Motors as they really are: reversing wash motors, PTC starts, timer motors that run through another motor. */
import { describe, expect, it } from "vitest";
import { findingText } from "../../server/base/finding.ts";
import { wrongVoltage } from "../../server/checks/wrong-voltage/check.ts";
import { compareExtremes, compareRegions, enginesOf, everyState } from "../states-exact/compare.ts";
import { controlOf, loadOf, machineOf } from "../support/fixture.ts";
import { analyse, findingsOf, toEnd } from "./analysed.ts";

describe("a wash motor with two equal windings and the capacitor between them", () => {
  // The usual reversing motor of twin-tubs and tumblers (common practice): the timer feeds one end of the capacitor or the other.
  const text = (ohms: number, line = "WT.5 to WM.2") => `
    machine "Larkfield W1 wash side"
    supply single 230 V 50 Hz breaker 10 A legs L N PE
    selector WT {
      positions off left right
      contact 3 to 4 in left   rated 6(3) A 250 V
      contact 3 to 5 in right  rated 6(3) A 250 V
    }
    motor WM "wash motor" 230 V capacitor-run thermally-protected {
      winding main 1 to 3 runs 1.4 A pf 0.85 starts 3 A pf 0.8 resistance 34 ohm
      winding aux  2 to 3 runs 1.4 A pf 0.85 starts 3 A pf 0.8 resistance ${ohms} ohm
      turns left with 1 and 2 alike
    }
    capacitor CW 10 uF 450 V run
    wire L to WT.3
    wire WT.4 to WM.1
    wire ${line}
    wire WM.1 to CW to WM.2
    wire WM.3 to N
    expect WM runs when WT left or right`;

  it("turns either way; the plain walk and the exact engine agree in all", () => {
    const machine = machineOf(text(34));
    const { plain, exact } = enginesOf(machine);
    compareRegions(plain, exact, everyState(machine));
    compareExtremes(plain, exact, [plain.all(), exact.all()]);
    const motor = controlOf(machine, "WM").id;
    for (const position of [2, 3]) {
      const running = [
        [{ control: motor, positions: Uint8Array.from([0, 0, 0, 0], (_, at) => (at === position ? 1 : 0)) }],
      ];
      expect(plain.isEmpty(plain.where(running))).toBe(false);
      expect(exact.count(exact.where(running))).toBe(plain.count(plain.where(running)));
    }
    // By hand: 230 V / 1.4 A at 0.85 is 139.6 + j86.5 ohm, 10 uF at 50 Hz is -j318.3: 0.85 A and 270 V at the capacitor.
    const volts = exact.extreme({ of: "load-volts", load: loadOf(machine, "CW").id }, exact.all());
    expect(volts.largest!.value).toBeCloseTo((230 / Math.hypot(139.64, 86.55 - 318.31)) * 318.31, 0);
  });

  it("nothing is amiss with it but that it is reversed while it turns", () => {
    const findings = findingsOf(machineOf(text(34)));
    expect(findings.map(({ id }) => id)).toEqual(["reverses-without-pause"]);
  });

  it("with unequal windings the wrong one has the line: told", () => {
    const ids = findingsOf(machineOf(text(60))).map(({ id }) => id);
    expect(ids).toContain("series-feed");
    expect(ids).toContain("expectation");
  });

  it("with too few volts for either winding it is still told", () => {
    const weak = text(34)
      .replace("wire L to WT.3", "heater HT 200 W 230 V attended\n wire L to HT to WT.3")
      .replace("expect WM runs when WT left or right", "");
    expect(findingsOf(machineOf(weak)).map(({ id }) => id)).toContain("series-feed");
  });
});

describe("a compressor with a PTC start", () => {
  const text = (starter: string) => `
    machine "Larkfield R9"
    supply single 120 V 60 Hz breaker 15 A legs L N PE
    thermostat CC "cold control" opens 2 C closes 6 C rated 20 A 125 V or 1/3 hp 125 V
    motor CP "compressor" 120 V thermally-protected {
      winding run   C to R runs 1.3 A pf 0.75 starts 14 A pf 0.6 resistance 4 ohm
      winding start C to S starts 6 A pf 0.9 resistance 12 ohm
    }
    ptc PT "PTC starter" resistance 8 ohm cold
    push PB normally closed
    wire L to CC to CP.C
    wire CP.R to N
    wire CP.S to ${starter} to N`;
  const told = (starter: string) =>
    findingsOf(machineOf(text(starter))).filter(({ id }) => id === "motor-cannot-start");

  it("a hot PTC is a note: it cools", () => {
    const [finding, ...more] = told("PT");
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ gravity: "information" });
    expect(findingText(finding!)).toContain("does not start again while PT (PTC starter) is still hot");
  });

  it("a contact in its way is a warning, PTC or not", () => {
    expect(told("PB to PT")).toMatchObject([{ gravity: "warning" }]);
  });
});

describe("a timer motor that runs through a motor with a fan beside it", () => {
  const text = (through: string) => `
    machine "Larkfield R12 defrost"
    supply single 115 V 60 Hz breaker 15 A legs L N PE
    timer DT "defrost timer" {
      drive 2 to 4 115 V draws 33 mA pf 0.65 through ${through} in frost
      contact 1 to 4 or 2
      chart 20 min per step repeats {
        steps cool 5  frost 1
        1-4   11111   2
      }
    }
    motor CM "compressor" 115 V thermally-protected {
      winding run C to R runs 4.4 A pf 0.65 starts 18 A pf 0.6
      winding start C to S starts 9 A pf 0.85
    }
    fan CF "condenser fan" 115 V draws 0.2 A pf 0.6 impedance-protected
    lamp PL 40 W 120 V
    ptc PT resistance 8 ohm cold
    wire L to DT.1
    wire DT.4 to CM.R
    wire CM.S to PT to DT.4
    wire DT.4 to CF to N
    wire DT.4 to PL to N
    wire CM.C to N`;
  const told = (through: string) =>
    findingsOf(machineOf(text(through)))
      .filter(({ id }) => id === "meant-volts-untrue")
      .map(({ what }) => what);

  it("most of its current goes through the compressor: `through CM in frost` is true", () => {
    expect(told("CM")).toEqual([]);
  });
  it("next to none of it goes through the lamp", () => {
    expect(told("PL")).toHaveLength(1);
  });
});

describe("an auxiliary winding behind its run capacitor", () => {
  // It is wound for more than the line and rings with its capacitor (common practice: such capacitors are stamped 400 or 450 V on 230 V machines).
  const others = Array.from(
    { length: 10 },
    (_, at) => `switch S${at} 1 to 2 closed in on, open in off rated 6 A 250 V
    lamp P${at} 5 W 230 V
    wire DOOR.2 to S${at} to P${at} to N`,
  ).join("\n");
  const text = (aux: string) => `
    machine "Larkfield WD3"
    supply single 230 V 50 Hz breaker 16 A legs L N PE
    switch DOOR "door" { positions shut open
      contact 1 to 2 in shut rated 16(6) A 250 V }
    motor DM 230 V capacitor-run thermally-protected {
      winding main 1 to 2 runs 1.6 A pf 0.8 starts 5 A pf 0.7 resistance 17 ohm
      winding aux  3 to 2 runs 0.7 A starts 1.6 A resistance 40 ohm
      moves "drum" guarded by DOOR in shut
    }
    capacitor CR 14 uF 450 V run
    wire L to DOOR to DM.1
    wire DM.1 to CR to ${aux}
    wire DM.2 to N
    ${others}`;
  const volts = (wired: string) => findingsOf(machineOf(wired), { checks: [wrongVoltage] });

  it("is not over its volts, however many other switches hang on the same line", () => {
    const machine = machineOf(text("DM.3"));
    const engine = toEnd(analyse(machine));
    expect(engine.isEmpty(engine.when(loadOf(machine, "DM.aux").id, ["over"]))).toBe(false);
    expect(volts(text("DM.3"))).toEqual([]);
  });

  it("straight across two legs it is, capacitor or not", () => {
    const both = text("DM.3")
      .replace("supply single 230 V 50 Hz breaker 16 A legs L N PE", "supply 230/460 V 50 Hz breaker 16 A")
      .replace(/ L to/g, " L1 to");
    const wired = both.replace("wire DM.1 to CR to DM.3", "wire DM.1 to DM.3").replace("DM.2 to N", "DM.2 to L2");
    expect(volts(wired).map(({ what }) => what.split(" ")[0])).toEqual(["DM.main", "DM.aux"]);
  });
});
