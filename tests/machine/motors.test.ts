/** Motors: windings, starting current, speed switch, direction, protection. */
import { describe, expect, test } from "vitest";
import { describeCondition, type MotorRule } from "../../server/machine/index.ts";
import { contactOf, controlOf, loadOf, machineOf } from "../support/fixture.ts";

const supply = "supply single 120 V 60 Hz\n";
const size = (z: { re: number; im: number } | undefined) => Math.hypot(z!.re, z!.im);

const splitPhase = `${supply}motor DM 120 V 1/3 hp thermally-protected {
    winding main  4 to 5  runs 5.2 A pf 0.62  starts 22 A pf 0.62  resistance 2.1 ohm
    winding start 3 to 5  starts 14 A pf 0.88  resistance 6.1 ohm
    speed-switch {
      contact 6 to 3  while stopped
      contact 7 to 1  while stopped, else 2
    }
  }`;

describe("split phase", () => {
  test("locked-rotor impedance until it runs, running impedance after", () => {
    const main = loadOf(machineOf(splitPhase), "DM.main");
    expect(main.impedance.map((z) => 120 / size(z))).toEqual([22, 22, 5.2].map((amps) => expect.closeTo(amps, 9)));
    expect(main.inrushSource).toBe("nameplate");
  });

  test("a motor that hums has not thrown its speed switch", () => {
    const machine = machineOf(splitPhase);
    const closed = (name: string) => describeCondition(machine, contactOf(machine, name).closed);
    expect(closed("DM.6-3")).toBe("DM in stopped or hums");
    expect(closed("DM.7-1")).toBe("DM in stopped or hums");
    expect(closed("DM.7-2")).toBe("DM running");
  });

  test("main and start windings of the rule", () => {
    const machine = machineOf(splitPhase);
    const rule = controlOf(machine, "DM").rule as MotorRule;
    expect(rule.mains).toEqual([loadOf(machine, "DM.main").id]);
    expect(rule.starts).toEqual([loadOf(machine, "DM.start").id]);
    expect(rule.leftSign).toBeUndefined();
  });
});

describe("starting current: nameplate, then code letter, then six times full load (NEC 430.251(A) over 430.248)", () => {
  test.each([
    ["motor M 115 V 1/3 hp locked rotor 30 A", 30, "nameplate"],
    ["motor M 115 V 1/3 hp code L", 28.96, "code letter L"],
    ["motor M 115 V 1/3 hp", 43.2, "NEC 430.251(A), 6 x running current"],
    ["motor M 115 V draws 5 A pf 0.6", 30, "NEC 430.251(A), 6 x running current"],
  ])("%s", (text, amps, source) => {
    const load = loadOf(machineOf(`supply single 115 V 60 Hz\n${text}`), "M");
    expect(115 / size(load.inrush)).toBeCloseTo(amps, 2);
    expect(load.inrushSource).toBe(source);
  });

  test("full-load current from horsepower: 1/3 hp at 115 V is 7.2 A (NEC 430.248)", () => {
    const load = loadOf(machineOf("supply single 115 V 60 Hz\nmotor M 115 V 1/3 hp"), "M");
    expect(load.ratedAmps).toBe(7.2);
    expect(load.impedanceSource).toContain("NEC 430.248");
  });
});

describe("an auxiliary winding behind its run capacitor", () => {
  test("the ohms of its copper are not its power factor while it turns: nothing rings", () => {
    // 8 uF at 50 Hz: 1/(2 pi f C) = 398 ohm. 0.6 A through it are 239 V, about the line: what a run capacitor shows in practice.
    const machine = machineOf(`supply single 230 V 50 Hz
      motor DM 230 V thermally-protected capacitor-run {
        winding main 1 to 2 runs 1.1 A pf 0.8 starts 3.1 A pf 0.7 resistance 21 ohm
        winding aux  3 to 2 runs 0.6 A starts 0.9 A resistance 32 ohm
      }
      capacitor CR 8 uF 450 V run
      wire L to DM.1 to CR to DM.3
      wire DM.2 to N`);
    const aux = loadOf(machine, "DM.aux").impedance[2]!;
    const volts = (230 / Math.hypot(aux.re, aux.im - 398)) * 398;
    expect(volts).toBeGreaterThan(200);
    expect(volts).toBeLessThan(450);
  });

  test.each([
    ["fan F 230 V draws 0.2 A resistance 150 ohm", "F", 0.6],
    ["pump F 230 V draws 0.2 A resistance 150 ohm", "F", 0.5],
  ])("%s: 150 of 1150 ohm are no power factor of a motor", (text, name, pf) => {
    const z = loadOf(machineOf(`supply single 230 V 50 Hz\n${text}`), name).impedance[0]!;
    expect(z.re / size(z)).toBeCloseTo(pf, 9);
  });
});

describe("two equal windings, reversed by feeding the one or the other", () => {
  const wash = (aux: string, mark = "capacitor-run") =>
    controlOf(
      machineOf(`supply single 230 V 50 Hz
        motor WM 230 V 1.4 A ${mark} {
          winding main 1 to 3 resistance 34 ohm
          winding ${aux}
        }
        expect WM off when WM stopped`),
      "WM",
    ).rule as MotorRule;

  test.each([
    ["the same ohms", "aux 2 to 3 resistance 34 ohm"],
    ["about the same ohms", "aux 2 to 3 resistance 34.6 ohm"],
    ["whatever their names", "back 2 to 3 resistance 34 ohm"],
  ])("%s", (_, aux) => {
    expect(wash(aux)).toMatchObject({ mains: [0], starts: [1], either: true });
  });

  test.each([
    ["other ohms", "aux 2 to 3 resistance 60 ohm", "capacitor-run"],
    ["nothing to tell by", "aux 2 to 3", "capacitor-run"],
    ["no capacitor", "aux 2 to 3 resistance 34 ohm", "split-phase"],
  ])("%s: not equal", (_, aux, mark) => {
    expect(wash(aux, mark).either).toBeUndefined();
  });
});

describe("direction", () => {
  const reversing = (turns: string) => `${supply}motor M 120 V 1/2 hp {
      winding main  1 to 2  runs 7 A pf 0.6  starts 26 A pf 0.55
      winding start 3 to 4  starts 11 A pf 0.75
      ${turns}
      moves "basket" turning right guarded by LID in shut
    }
    switch LID { positions shut open
      contact 1 to 2 in shut
    }`;
  const sign = (turns: string) => (controlOf(machineOf(reversing(turns)), "M").rule as MotorRule).leftSign;

  test("alike ends give one sign, unlike ends the other", () => {
    expect(sign("turns left with 1 and 3 alike")).toBe(1);
    expect(sign("turns left with 2 and 4 alike")).toBe(1);
    expect(sign("turns left with 1 and 4 alike")).toBe(-1);
    expect(sign("turns right with 1 and 3 alike")).toBe(-1);
  });

  test("left and right are positions, and `running` means either", () => {
    const machine = machineOf(`${reversing("turns left with 1 and 3 alike")}\nexpect LID open when M running`);
    expect(controlOf(machine, "M").positions.map(({ name }) => name)).toEqual([
      "stopped",
      "hums",
      "running left",
      "running right",
    ]);
    expect(describeCondition(machine, machine.expectations[0]!.when!)).toBe("M running");
    expect(describeCondition(machine, machine.guards[0]!.only!)).toBe("M running right");
    expect(describeCondition(machine, machine.guards[0]!.holds)).toBe("LID shut");
  });
});

describe("controls only where motion matters", () => {
  test("a plain fan has none, one whose motion is asked for has", () => {
    expect(machineOf(`${supply}fan F 120 V draws 0.2 A`).controls).toHaveLength(1);
    const asked = machineOf(`${supply}fan F 120 V draws 0.2 A\nlamp H 5 W 120 V\nexpect H off when F running`);
    expect(controlOf(asked, "F").rule).toMatchObject({ rule: "motor", starts: [] });
  });
});

describe("protection", () => {
  // NEC 430.7(A): marks "Thermally Protected" (T.P.) and "Z.P." for impedance protected.
  test.each([
    ["", true],
    ["thermally-protected", false],
    ["impedance-protected", false],
  ])("mark %s", (mark, needs) => {
    expect(loadOf(machineOf(`${supply}motor M 120 V draws 2 A ${mark}`), "M").needsProtector).toBe(needs);
  });

  test("a protector as a place in the circuit senses its windings", () => {
    const machine = machineOf(`${supply}motor M 120 V {
        winding main 4 to 5 runs 5 A pf 0.6
        protector 8 to 5 opens 120 C closes 65 C
      }`);
    const contact = contactOf(machine, "M.protector");
    expect(contact).toMatchObject({ role: "built-in-protector", opensAt: 120, closesAt: 65, senses: [0] });
    expect(describeCondition(machine, contact.closed)).toBe("M.protector closed");
    expect(controlOf(machine, "M.protector").changes![0]!.needs).toEqual([[{ load: 0, atLeast: "weak" }]]);
  });
});
