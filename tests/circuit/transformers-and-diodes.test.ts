/** Transformers and diodes, one state solved. Sources beside each check. */
import { describe, expect, test } from "vitest";
import { halfWaveReadings } from "../../server/circuit/measure.ts";
import type { MachineLiteral } from "../support/build-machine.ts";
import { Bench } from "./bench.ts";

describe("transformers", () => {
  test("240 V to 24 V, 10 ohm load: 2.4 A and 0.24 A (turns ratio, textbook); a floating secondary is told", () => {
    const bench = new Bench({
      legs: { L1: 120, L2: -120, N: 0 },
      loads: [{ name: "V", a: "s1", b: "s2", z: 10 }],
      transformers: [{ primary: ["L1", "L2"], secondary: ["s1", "s2"], ratio: 10 }],
    });
    expect(bench.load("V").volts).toBeCloseTo(24, 9);
    expect(bench.leg("L1")).toBeCloseTo(0.24, 9);
    expect(bench.leg("N")).toBe(0);
    expect(bench.fed("s1")).toBe(true);
  });

  test("series impedance drops volts, magnetising impedance draws current, an open primary is dead", () => {
    const literal = (closed: string): MachineLiteral => ({
      legs: { L: 120, N: 0 },
      contacts: [{ name: "S", a: "L", b: "p", closed }],
      loads: [{ name: "V", a: "s1", b: "N", z: 10 }],
      transformers: [
        { primary: ["p", "N"], secondary: ["s1", "N"], ratio: 5, series: 2, magnetising: { re: 0, im: 1200 } },
      ],
    });
    const on = new Bench(literal("always"));
    expect(on.load("V").volts).toBeCloseTo(20, 9);
    // 2 A / 5 in phase, and 0.1 A a quarter behind.
    expect(on.contact("S")).toBeCloseTo(Math.hypot(0.4, 0.1), 9);
    const off = new Bench(literal("never"));
    expect(off.load("V").volts).toBeCloseTo(0, 12);
  });
});

describe("diodes", () => {
  const heat = (more: Partial<MachineLiteral> = {}): MachineLiteral => ({
    legs: { L1: 120, L2: -120, N: 0 },
    loads: [
      { name: "D", kind: "diode", a: "L1", b: "x", z: [undefined] },
      { name: "HT", a: "x", b: "L2", z: 24 },
      { name: "M", a: "L1", b: "L2", z: 48 },
    ],
    ...more,
  });

  test("alone in a resistive path: half the watts, 70.7 % of the volts (definition of rms); 240 V: 169.7 V, meters 130.9 V AC, 108.0 V DC", () => {
    const bench = new Bench(heat());
    const { volts, amps, watts, halfWave } = bench.load("HT");
    expect(volts).toBeCloseTo(169.7, 1);
    expect(amps).toBeCloseTo(10 * Math.SQRT1_2, 9);
    expect(watts).toBeCloseTo(1200, 6);
    expect(halfWave).toBe(true);
    const meters = halfWaveReadings(volts);
    expect(meters.acCoupled).toBeCloseTo(130.9, 1);
    expect(meters.dc).toBeCloseTo(108.0, 1);
    expect(bench.load("D").volts).toBeCloseTo(169.7, 1);
    expect(bench.solution.notSolved).toEqual([]);
  });

  test("beside another load the leg carries the true rms: checked by summing the waves", () => {
    const bench = new Bench(heat());
    let squares = 0;
    const samples = 10_000;
    for (let k = 0; k < samples; k++) {
      const wave = Math.SQRT2 * Math.sin((2 * Math.PI * (k + 0.5)) / samples);
      squares += (5 * wave + 10 * Math.max(0, wave)) ** 2;
    }
    expect(bench.leg("L1")).toBeCloseTo(Math.sqrt(squares / samples), 6);
    expect(bench.leg("L2")).toBeCloseTo(Math.sqrt(squares / samples), 6);
  });

  test("two halves in opposite directions make a whole wave again", () => {
    const bench = new Bench(
      heat({
        contacts: [{ name: "S", a: "L1", b: "y", closed: "always" }],
        loads: [
          { name: "D1", kind: "diode", a: "y", b: "x", z: [undefined] },
          { name: "HT1", a: "x", b: "L2", z: 24 },
          { name: "D2", kind: "diode", a: "z", b: "y", z: [undefined] },
          { name: "HT2", a: "z", b: "L2", z: 24 },
        ],
      }),
    );
    expect(bench.contact("S")).toBeCloseTo(10, 9);
    expect(bench.load("HT2").watts).toBeCloseTo(1200, 6);
  });

  test("bypassed by a contact or in a dead end it changes nothing", () => {
    const full = new Bench(heat({ contacts: [{ name: "S", a: "L1", b: "x", closed: "always" }] }));
    expect(full.load("HT").watts).toBeCloseTo(2400, 6);
    expect(full.solution.halfWave).toEqual([]);
    const dead = new Bench(
      heat({
        loads: [
          { name: "D", kind: "diode", a: "L1", b: "x", z: [undefined] },
          { name: "HT", a: "x", b: "y", z: 24 },
        ],
      }),
    );
    expect(dead.load("HT").amps).toBe(0);
    expect(dead.solution.notSolved).toEqual([]);
  });

  test.each([
    ["a coil", [{ name: "HT", a: "x", b: "L2", z: { re: 24, im: 10 } }]],
    [
      "a capacitor across the load",
      [
        { name: "HT", a: "x", b: "L2", z: 24 },
        { name: "C", a: "x", b: "L2", z: { re: 0, im: -50 } },
      ],
    ],
    [
      "a resistor across the diode",
      [
        { name: "HT", a: "x", b: "L2", z: 24 },
        { name: "R", a: "L1", b: "x", z: 500 },
      ],
    ],
    [
      "a second diode",
      [
        { name: "HT", a: "x", b: "L2", z: 24 },
        { name: "D2", kind: "diode" as const, a: "L1", b: "x", z: [undefined] },
      ],
    ],
  ])("with %s: not solved, never a number, and the rest is", (_, loads) => {
    const diode = { name: "D", kind: "diode" as const, a: "L1", b: "x", z: [undefined] };
    const bench = new Bench(heat({ loads: [diode, ...loads, { name: "M", a: "L1", b: "N", z: 48 }] }));
    expect(bench.solution.notSolved).toHaveLength(1);
    expect(bench.solution.notSolved[0]!.why).toBe("diode");
    expect(bench.load("HT").amps).toBeNaN();
    expect(bench.load("HT").watts).toBeNaN();
    expect(bench.leg("L1")).toBeNaN();
    expect(bench.load("M").amps).toBeCloseTo(2.5, 9);
    expect(bench.leg("N")).toBeCloseTo(2.5, 9);
  });

  test("lossless parts in resonance are not solved", () => {
    const bench = new Bench({
      legs: { L: 120, N: 0 },
      loads: [
        { name: "C", a: "L", b: "x", z: { re: 0, im: -50 } },
        { name: "W", a: "x", b: "N", z: { re: 0, im: 50 } },
      ],
    });
    expect(bench.solution.notSolved.map(({ why }) => why)).toEqual(["resonance"]);
    expect(bench.load("C").amps).toBeNaN();
  });
});
