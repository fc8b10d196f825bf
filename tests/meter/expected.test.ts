/** What the meter should read, against handbooks and sums by hand. */
import { complex, divide, multiply } from "mathjs";
import { describe, expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { restState } from "../../server/machine/index.ts";
import { expectedOhms, expectedVolts } from "../../server/meter/expected.ts";
import { isolate } from "../../server/meter/isolate.ts";
import { partOhms } from "../../server/meter/part-ohms.ts";
import { partTests } from "../../server/meter/part-tests.ts";
import { pointInText } from "../../server/meter/points.ts";
import { copperFactor, nichromeFactor } from "../../server/meter/tables/temperature.ts";
import { machineOf } from "../support/fixture.ts";

function bench(text: string) {
  const machine = machineOf(text);
  const circuit = buildCircuit(machine);
  const state = (positions: Record<string, number> = {}) => {
    const made = restState(machine);
    for (const [name, at] of Object.entries(positions)) made[machine.controls.find((c) => c.name === name)!.id] = at;
    return made;
  };
  const at = (name: string) => pointInText(machine, name)!.terminals[0]!;
  return { machine, circuit, state, at };
}

describe("resistance and heat", () => {
  test("a nichrome element of 10.67 ohm cold has 10.86 ohm at 600 °C, and takes 5.30 kW at 240 V (factor Ct of Cr20Ni80, GB/T 1234)", () => {
    expect(10.67 * nichromeFactor(600)).toBeCloseTo(10.86, 2);
    expect(240 ** 2 / (10.67 * nichromeFactor(600))).toBeCloseTo(5303, -1);
    expect(nichromeFactor(550)).toBeCloseTo((1.026 + 1.018) / 2, 9);
    expect([nichromeFactor(0), nichromeFactor(2000)]).toEqual([1, 1.025]);
  });

  test("copper: 0.393 % per kelvin (IEC 60028, from memory); a motor at 75 °C reads about a fifth more", () => {
    expect(copperFactor(20, 21)).toBeCloseTo(1.00393, 9);
    expect(copperFactor(20, 75)).toBeCloseTo(1.216, 3);
    expect(copperFactor(75, 20) * copperFactor(20, 75)).toBeCloseTo(1, 12);
  });

  test("a heater is told from watts and volts, cold and with the plate's tolerance; a motor only from its stated ohms", () => {
    const { machine } = bench(`
      machine "M"
      supply 120/240 V 60 Hz
      heater HT 5400 W 240 V
      motor DM 120 V 1/3 hp thermally-protected
      pump PU 120 V 1.1 A resistance 14 ohm impedance-protected
      wire L1 to HT to L2
      wire L1 to DM to N
      wire L1 to PU to N
    `);
    const heater = partOhms(machine, machine.loads[0]!)!;
    expect(heater.expected).toBeCloseTo(240 ** 2 / 5400 / 1.018, 6);
    // IEC 60335-1, 10.1, from memory: +5 % / -10 % of the watts.
    expect(heater.low).toBeCloseTo(240 ** 2 / (5400 * 1.05) / 1.026, 6);
    expect(heater.high).toBeCloseTo(240 ** 2 / (5400 * 0.9), 6);
    expect(partOhms(machine, machine.loads[1]!)).toBeUndefined();
    expect(partOhms(machine, machine.loads.at(-1)!)!.warm).toBeCloseTo(14 * 1.1 * 1.21615, 3);
  });
});

describe("ohms through every path", () => {
  const parallel = `
    machine "M"
    supply single 240 V 60 Hz
    heater HT 5400 W 240 V resistance 10.67 ohm
    motor DM 240 V { winding main 1 to 2 runs 5 A pf 0.6 starts 20 A pf 0.6 resistance 2.5 ohm }
    wire L to HT to N
    wire L to DM(1 2) to N
  `;
  test("a 10.67 ohm heater left beside a 2.5 ohm winding: the product over the sum; with a lead off the winding alone", () => {
    const { circuit, state, at, machine } = bench(parallel);
    const off = state({ SUPPLY: 1 });
    expect(expectedOhms(circuit, off, at("DM.1"), at("DM.2")).band.expected).toBeCloseTo((10.67 * 2.5) / 13.17, 9);
    const alone = isolate(
      circuit,
      off,
      at("DM.1"),
      at("DM.2"),
      machine.loads.find(({ name }) => name === "DM.main")!.id,
    );
    expect(alone.lift).toHaveLength(1);
    expect(alone.reading().band.expected).toBeCloseTo(2.5, 9);
    expect(alone.reading().band.low).toBeLessThan(2.26);
  });

  test("an unbalanced bridge reads what star-delta sums give (sum with mathjs)", () => {
    const { circuit, state, at } = bench(`
      machine "M"
      supply single 240 V 60 Hz
      splice S1
      splice S2
      resistor R1 100 ohm 1 W
      resistor R2 220 ohm 1 W
      resistor R3 330 ohm 1 W
      resistor R4 470 ohm 1 W
      resistor R5 50 ohm 1 W
      wire L to R1 to S1 to R2 to N
      wire L to R3 to S2 to R4 to N
      wire S1 to R5 to S2
    `);
    const [ra, rb, rc] = [complex(100, 0), complex(330, 0), complex(50, 0)];
    const sum = 480;
    const pair = (x: typeof ra, y: typeof ra) => Number(divide(multiply(x, y), sum).toString());
    const [top, left, right] = [pair(ra, rb), pair(ra, rc), pair(rb, rc)];
    const [down, across] = [left + 220, right + 470];
    const expected = top + (down * across) / (down + across);
    expect(expectedOhms(circuit, state({ SUPPLY: 1 }), at("L"), at("N")).band.expected).toBeCloseTo(expected, 6);
  });

  test("what is not written is not known, with bounds; a capacitor and a neon read open", () => {
    const { circuit, state, at } = bench(`
      machine "M"
      supply single 240 V 60 Hz
      heater HT 2400 W 240 V
      lamp DL 10 W 240 V
      lamp NE neon 240 V draws 0.8 mA
      capacitor C1 run 10 uF 400 V
      wire L to HT to N
      wire L to DL to N
      wire L to NE to C1 to N
    `);
    const off = state({ SUPPLY: 1 });
    const reading = expectedOhms(circuit, off, at("L"), at("N"));
    expect(reading.known).toBe(false);
    expect(reading.unknown).toHaveLength(1);
    expect(reading.band.low).toBe(0);
    expect(expectedOhms(circuit, off, at("C1.1"), at("C1.2"), [at("C1.1"), at("C1.2")]).band.expected).toBe(Infinity);
  });
});

describe("live volts", () => {
  test("meter loading: 24 V over two 250 Mohm resistors reads 0.8889 V (Lessons in Electric Circuits, Vol. I, Chapter 8)", () => {
    const { circuit, state, at } = bench(`
      machine "M"
      supply single 24 V 60 Hz
      resistor R1 250 Mohm 1 W
      resistor R2 250 Mohm 1 W
      wire L to R1 to R2 to N
    `);
    const { ordinary } = expectedVolts(circuit, state(), at("R2.1"), at("R2.2"));
    expect(ordinary.expected).toBeCloseTo(0.8889, 4);
  });

  test("an open switch in a complete path shows the source on any meter; behind it the load shows nothing (common practice)", () => {
    const { circuit, state, at } = bench(`
      machine "M"
      supply single 240 V 60 Hz
      switch S 1 to 2 closed in on, open in off
      heater HT 2400 W 240 V
      wire L to S to HT to N
    `);
    const open = { S: 1 };
    const across = expectedVolts(circuit, state(open), at("S.1"), at("S.2"));
    expect(across.ordinary.expected).toBeCloseTo(240, 1);
    expect(across.lowImpedance.expected).toBeGreaterThan(238);
    // ANSI C84.1 Range B, from memory: 106 to 127 V on 120 V.
    expect(across.ordinary.low).toBeLessThan((240 * 106) / 120);
    expect(across.ordinary.high).toBeGreaterThan((240 * 127) / 120);
    expect(expectedVolts(circuit, state(open), at("HT.1"), at("N")).ordinary.expected).toBeCloseTo(0, 6);
  });

  test("two opens in one path: the piece between them floats, and each open shows next to nothing to it", () => {
    const { circuit, state, at } = bench(`
      machine "M"
      supply single 240 V 60 Hz
      switch S 1 to 2 closed in on, open in off
      switch T 1 to 2 closed in on, open in off
      heater HT 2400 W 240 V
      wire L to S to T to HT to N
    `);
    const reading = expectedVolts(circuit, state({ S: 1, T: 1 }), at("S.1"), at("S.2"));
    expect(reading.floating).toBe(true);
    expect(reading.ordinary.expected).toBeCloseTo(0, 6);
  });

  test("an unloaded triac that is off reads full volts on an ordinary meter and next to nothing on a low-impedance one", () => {
    const { circuit, state, at } = bench(`
      machine "M"
      supply single 230 V 50 Hz
      board EB {
        feed L to N 230 V 3 W
        positions off on
        triac out L to T in on  leaks 0.7 mA
      }
      splice S1
      wire L to EB.L
      wire N to EB.N
      wire EB.T to S1
    `);
    const { ordinary, lowImpedance } = expectedVolts(circuit, state(), at("S1"), at("N"));
    expect(ordinary.expected).toBeGreaterThan(200);
    expect(lowImpedance.expected).toBeLessThan(5);
  });
});

test("how to test a motor's winding: the lead to take off, good, open, shorted, to case", () => {
  const { circuit, machine } = bench(`
    machine "M"
    supply single 240 V 60 Hz
    heater HT 5400 W 240 V
    motor DM 240 V { winding main 1 to 2 runs 5 A pf 0.6 starts 20 A pf 0.6 resistance 2.5 ohm
      frame }
    wire L to HT to N
    wire L to DM(1 2) to N
    bond DM.frame to PE
  `);
  const [winding] = partTests(circuit, machine.parts.find(({ name }) => name === "DM")!.id);
  expect(winding!.lift.map((each) => machine.terminals[each]!.fullName)).toEqual(["DM.1"]);
  expect(winding!.inPlace).toMatch(/^2 ohm/);
  expect(winding!.good).toBe("2.5 ohm (2.3 to 2.8 ohm)");
  expect(winding!.open).toBe("open");
  expect(winding!.toCase).toMatch(/^to DM\.frame open; less than 1 Mohm/);
});
