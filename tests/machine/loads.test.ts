/** Loads: impedances, inrush, what is known and what is not. */
import { describe, expect, test } from "vitest";
import { loadOf, machineOf } from "../support/fixture.ts";

const split = "supply 120/240 V 60 Hz\n";

function load(text: string, name: string) {
  return loadOf(machineOf(split + text), name);
}

const size = (z: { re: number; im: number } | undefined) => Math.hypot(z!.re, z!.im);

describe("heaters", () => {
  // Common practice, no published source: dryer element 5400 W, 240 V, 22.5 A, 10.667 ohm.
  test("watts and volts give ohms", () => {
    const heater = load("heater HT 5400 W 240 V", "HT");
    expect(heater.impedance[0]!.re).toBeCloseTo(10.667, 3);
    expect(heater.ratedAmps).toBeCloseTo(22.5, 9);
    expect(heater.meterOhms).toMatchObject({ stated: false });
    expect(heater).toMatchObject({ known: true, needsProtector: true, ratedVolts: 240, ratedWatts: 5400 });
  });

  test("a surface element is attended and has no limit by design", () => {
    expect(load("heater SE 2100 W 240 V attended", "SE").needsProtector).toBe(false);
  });

  test("several elements in one part", () => {
    const machine = machineOf(`${split}heater HT 240 V {\nelement 1 to 2 2100 W\nelement 2 to 3 3300 W\n}`);
    expect(machine.loads.map(({ ratedWatts }) => ratedWatts)).toEqual([2100, 3300]);
  });
});

describe("what a part draws is not what the meter reads", () => {
  test("a drive: amps and power factor live, ohms unplugged", () => {
    const drive = load("timer TM { drive M1 to M2 120 V draws 21 mA pf 0.5 resistance 2.6 kohm cold\n}", "TM.drive");
    expect(size(drive.impedance[0])).toBeCloseTo(120 / 0.021, 6);
    expect(drive.impedance[0]!.re / size(drive.impedance[0])).toBeCloseTo(0.5, 9);
    expect(drive.meterOhms).toMatchObject({ ohms: 2600, cold: true, stated: true });
  });

  test("a lamp: hot by its watts, fourteen times the current at switching on (a practitioner's figure), no meter value", () => {
    const lamp = load("lamp DL 10 W 120 V", "DL");
    expect(lamp.impedance[0]!.re).toBeCloseTo(1440, 6);
    expect(size(lamp.inrush)).toBeCloseTo(1440 / 14, 6);
    expect(lamp.meterOhms).toBeUndefined();
  });

  test("watts and amps give the power factor", () => {
    const pump = load("pump PU 120 V 30 W draws 0.5 A", "PU");
    expect(pump.impedance[0]!.re / size(pump.impedance[0])).toBeCloseTo(0.5, 9);
  });

  test("nothing stated: the amps are not known, and a stand-in serves to follow the path", () => {
    const valve = load("valve WV 120 V", "WV");
    expect(valve.known).toBe(false);
    expect(valve.ratedAmps).toBeUndefined();
  });

  // Common practice: a solenoid takes 5 to 10 times its current while its armature is open; the larger is used.
  test("a coil at switching on", () => {
    const valve = load("valve WV 120 V draws 90 mA pf 0.6", "WV");
    expect(120 / size(valve.inrush)).toBeCloseTo(0.9, 9);
  });
});

describe("capacitors", () => {
  // Computed, 1 / (2 pi f C) at 60 Hz: 4 uF 663.1, 10 uF 265.3, 22 uF 120.6, 35 uF 75.8, 80 uF 33.2, 100 uF 26.5 ohm.
  test.each([
    [4, 663.1],
    [10, 265.3],
    [22, 120.6],
    [35, 75.8],
    [80, 33.2],
    [100, 26.5],
  ])("%i uF", (microfarads, ohms) => {
    expect(-load(`capacitor C ${microfarads} uF 370 V run`, "C").impedance[0]!.im).toBeCloseTo(ohms, 1);
  });

  test("the bleed resistor lies beside it, and is what the meter reads", () => {
    const capacitor = load("capacitor C 100 uF start 125 V bleeds 15 kohm", "C");
    expect(capacitor.impedance[0]!.re).toBeGreaterThan(0);
    expect(capacitor).toMatchObject({ capacitorDuty: "start", meterOhms: { ohms: 15000 } });
  });
});

describe("reduced volts on purpose", () => {
  test("also at, through", () => {
    const machine = machineOf(`${split}
      selector S { positions off low
        contact 1 to 2 in low
      }
      heater HT 1000 W 240 V also at 120 V
      lamp RL neon 240 V draws 1 mA through HT when S low`);
    expect(loadOf(machine, "HT").alsoAt.map(({ volts }) => volts)).toEqual([120]);
    expect(loadOf(machine, "RL").through.map((each) => each.load)).toEqual([loadOf(machine, "HT").id]);
  });
});

test("a transformer: ratio of its volts", () => {
  const machine = machineOf(`${split}transformer T 40 VA { primary 1 to 2 120 V; secondary 3 to 4 24 V }`);
  expect(machine.transformers[0]).toMatchObject({ ratio: 5, ratedVoltAmps: 40 });
});

test("a neon lamp strikes at its volts, whatever the line", () => {
  expect(load("lamp H neon 230 V draws 0.8 mA strikes 65 V", "H").scale.works).toBeCloseTo(65 / 230, 9);
});
