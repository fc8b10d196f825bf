/** One state solved: supplies, contacts, shorts, overrides. Sources beside each check. */
import { describe, expect, test } from "vitest";
import { magnitude } from "../../server/circuit/measure.ts";
import { type MachineLiteral, polar } from "../support/build-machine.ts";
import { Bench } from "./bench.ts";

const split = { L1: 120, L2: -120, N: 0, PE: 0 };
const wye = { L1: 120, L2: polar(120, 120), N: 0, PE: 0 };

describe("supplies", () => {
  test("120/240 V: 240 V between the legs, the neutral carries the difference (Lessons in Electric Circuits II, chapter 10)", () => {
    const bench = new Bench({
      legs: split,
      loads: [
        { name: "A", a: "L1", b: "N", z: 12 },
        { name: "B", a: "L2", b: "N", z: 20 },
        { name: "HT", a: "L1", b: "L2", z: 240 / 22.5 },
      ],
    });
    expect(bench.volts("L1", "L2")).toBeCloseTo(240, 9);
    expect(bench.leg("N")).toBeCloseTo(10 - 6, 9);
    expect(bench.leg("L1")).toBeCloseTo(22.5 + 10, 9);
    expect(bench.load("HT").watts).toBeCloseTo(5400, 6);
  });

  test("two legs of 120/208 V: two equal loads load the neutral fully (same chapter, figure 12114)", () => {
    const bench = new Bench({
      legs: wye,
      loads: [
        { name: "A", a: "L1", b: "N", z: 1.44 },
        { name: "B", a: "L2", b: "N", z: 1.44 },
        { name: "HT", a: "L1", b: "L2", z: 240 ** 2 / 5400 },
      ],
    });
    expect(bench.volts("L1", "L2")).toBeCloseTo(207.85, 2);
    expect(bench.leg("N")).toBeCloseTo(83.33, 2);
    // (208/240)^2 = 0.7511 (computed): 5.4 kW becomes 4.06 kW; exactly 3/4 at 207.85 V.
    expect(bench.load("HT").watts).toBeCloseTo(5400 * 0.75, 6);
  });

  test("supply off: everything is at 0 V, nothing is short", () => {
    const bench = new Bench(
      {
        legs: split,
        contacts: [{ name: "S", a: "L1", b: "L2", closed: "always" }],
        loads: [{ name: "HT", a: "L1", b: "N", z: 10 }],
      },
      { SUPPLY: "off" },
    );
    expect(bench.solution.shorts).toEqual([]);
    expect(bench.load("HT").amps).toBe(0);
    expect(bench.contact("S")).toBe(0);
  });

  test("lost neutral: 100 W and 200 W lamps at 160 V and 80 V (voltage divider, computed); a swapped plug; 254 V", () => {
    const literal: MachineLiteral = {
      legs: split,
      loads: [
        { name: "100 W", a: "L1", b: "N", z: 144 },
        { name: "200 W", a: "L2", b: "N", z: 72 },
      ],
    };
    const lost = new Bench(literal, {}, ({ supply }) => ({ lostLegs: [supply.legs[2]!.terminal] }));
    expect(lost.load("100 W").volts).toBeCloseTo(160, 9);
    expect(lost.load("200 W").volts).toBeCloseTo(80, 9);
    expect(lost.volts("N", "PE")).toBeCloseTo(40, 9);

    const single: MachineLiteral = {
      legs: { L: 120, N: 0, PE: 0 },
      contacts: [{ name: "S", a: "L", b: "x", closed: "never" }],
      loads: [{ name: "lamp", a: "x", b: "N", z: 144 }],
    };
    // Switched in the neutral by the turned plug: the lamp is off and live.
    const swapped = new Bench(single, {}, { swapped: true });
    expect(swapped.volts("x", "PE")).toBeCloseTo(120, 9);
    expect(swapped.load("lamp").amps).toBeCloseTo(0, 12);

    const high = new Bench(literal, {}, { supplyScale: 254 / 240 });
    expect(high.load("100 W").watts).toBeCloseTo(100 * 1.1201, 2);
  });
});

describe("contacts", () => {
  test("what hangs on nothing is at 0 V and not fed; what hangs on one leg is fed and draws nothing", () => {
    const bench = new Bench({
      legs: { L: 120, N: 0 },
      contacts: [{ name: "S", a: "L", b: "x", closed: "never" }],
      loads: [
        { name: "A", a: "x", b: "y", z: 10 },
        { name: "B", a: "L", b: "z", z: 10 },
      ],
    });
    expect([bench.fed("x"), bench.fed("y"), bench.fed("z")]).toEqual([false, false, true]);
    expect(bench.volts("y", "N")).toBe(0);
    expect(bench.volts("z", "N")).toBeCloseTo(120, 9);
  });

  test("a chain of ideal contacts carries what hangs behind it; parallel contacts share alike", () => {
    const bench = new Bench({
      legs: { L: 120, N: 0 },
      contacts: [
        { name: "main", a: "L", b: "x", closed: "always" },
        { name: "one", a: "x", b: "y", closed: "always" },
        { name: "two", a: "x", b: "y", closed: "always" },
        { name: "dead end", a: "y", b: "z", closed: "always" },
      ],
      loads: [
        { name: "A", a: "x", b: "N", z: 60 },
        { name: "B", a: "y", b: "N", z: 12 },
      ],
    });
    expect([bench.contact("main"), bench.contact("one"), bench.contact("two"), bench.contact("dead end")]).toEqual([
      12, 5, 5, 0,
    ]);
  });

  test("a contact of 5 ohm in a 22.5 A circuit, and one that leaks 0.7 mA when open", () => {
    const literal: MachineLiteral = {
      legs: { L: 120, N: 0 },
      contacts: [{ name: "S", a: "L", b: "x", closed: "always" }],
      loads: [{ name: "HT", a: "x", b: "N", z: 120 / 22.5 }],
    };
    const burnt = new Bench(literal, {}, { contacts: new Map([[0, { as: "ohms", ohms: 5 }]]) });
    expect(burnt.contact("S")).toBeCloseTo(120 / (5 + 120 / 22.5), 9);
    expect(burnt.volts("L", "x")).toBeCloseTo((5 * 120) / (5 + 120 / 22.5), 9);
    // A burnt contact that is open is open.
    const open = new Bench(
      { ...literal, contacts: [{ name: "S", a: "L", b: "x", closed: "never" }] },
      {},
      { contacts: new Map([[0, { as: "ohms", ohms: 5 }]]) },
    );
    expect(open.load("HT").amps).toBe(0);
    const leaking = new Bench({
      ...literal,
      contacts: [{ name: "S", a: "L", b: "x", closed: "never", leaks: 0.7e-3 }],
    });
    expect(leaking.load("HT").amps).toBeCloseTo(0.7e-3, 8);
    // With nothing behind it the open triac shows the full volts (trade judgement: "reads full mains on a 10 Mohm meter").
    const idle = new Bench({
      ...literal,
      contacts: [{ name: "S", a: "L", b: "x", closed: "never", leaks: 0.7e-3 }],
      loads: [{ name: "meter", a: "x", b: "N", z: 10e6 }],
    });
    expect(idle.load("meter").volts).toBeGreaterThan(119);
  });

  test("impedance follows the motor's position, and the moment", () => {
    const literal: MachineLiteral = {
      legs: { L: 120, N: 0 },
      controls: { DM: ["stopped", "hums", "running"] },
      loads: [{ name: "main", a: "L", b: "N", by: "DM", z: [4, 4, 20], inrush: { re: 4, im: 0 } }],
    };
    expect(new Bench(literal, { DM: "running" }).load("main").amps).toBeCloseTo(6, 9);
    expect(new Bench(literal, { DM: "running" }, undefined, ["main"]).load("main").amps).toBeCloseTo(30, 9);
    expect(new Bench(literal, { DM: "hums" }).load("main").amps).toBeCloseTo(30, 9);
  });

  test("motor impedance from horsepower: 1/3 hp at 115 V draws 7.2 A (NEC table 430.248); code L: 26.1 to 29.0 A at standstill", () => {
    const amps = 7.2;
    const running = polar(115 / amps, (Math.acos(0.6) * 180) / Math.PI);
    const locked = polar(115 ** 2 / (9000 / 3), 50);
    const literal: MachineLiteral = {
      legs: { L: 115, N: 0 },
      loads: [{ name: "M", a: "L", b: "N", z: running, inrush: locked }],
    };
    const steady = new Bench(literal).load("M");
    expect(steady.amps).toBeCloseTo(7.2, 9);
    expect(steady.powerFactor).toBeCloseTo(0.6, 9);
    expect(steady.current).toBe("lags");
    // 1000 x 9.0 / 3 / 115 (computed from the code letter range as reposted from NEC table 430.7(B)).
    expect(new Bench(literal, {}, undefined, ["M"]).load("M").amps).toBeCloseTo(26.1, 1);
  });
});

describe("shorts", () => {
  const literal: MachineLiteral = {
    legs: split,
    contacts: [
      { name: "A", a: "L1", b: "x", closed: "always" },
      { name: "B", a: "x", b: "y", closed: "always" },
      { name: "C", a: "y", b: "L2", closed: "always" },
      { name: "far", a: "x", b: "z", closed: "always" },
    ],
    loads: [
      { name: "behind", a: "z", b: "N", z: 60 },
      { name: "elsewhere", a: "L1", b: "L2", z: 24 },
    ],
  };

  test("are reported with the chain of contacts; the rest is solved; currents on the way are not numbers", () => {
    const bench = new Bench(literal);
    const { shorts } = bench.solution;
    expect(shorts).toHaveLength(1);
    expect(shorts[0]!.legs).toEqual([bench.terminal("L1"), bench.terminal("L2")]);
    expect(shorts[0]!.contacts).toEqual([0, 1, 2]);
    expect(bench.load("elsewhere").amps).toBeCloseTo(10, 9);
    expect(bench.load("behind").amps).toBeCloseTo(2, 9);
    expect(bench.contact("far")).toBeCloseTo(2, 9);
    for (const name of ["A", "B", "C"]) expect(bench.contact(name)).toBeNaN();
    expect([bench.leg("L1"), bench.leg("L2")]).toEqual([Number.NaN, Number.NaN]);
    expect(bench.leg("N")).toBeCloseTo(2, 9);
  });

  test("a dead fault of the live leg to the case, a shorted load, a wire, a contact of 20 milliohm are shorts, too", () => {
    const fault: MachineLiteral = {
      legs: { L: 120, PE: 0, N: 0 },
      frame: "PE",
      loads: [{ name: "HT", a: "L", b: "N", z: 10 }],
    };
    const touching = new Bench(fault, {}, { loads: new Map([[0, { as: "to-case", share: 0, ohms: 0 }]]) });
    expect(touching.solution.shorts).toHaveLength(1);
    const shorted = new Bench(fault, {}, { loads: new Map([[0, { as: "closed" }]]) });
    expect(shorted.solution.shorts[0]!.loads).toEqual([0]);
    const added = new Bench(fault, {}, ({ supply }) => ({
      added: [{ a: supply.legs[0]!.terminal, b: supply.legs[1]!.terminal, ohms: 0 }],
    }));
    expect(added.solution.shorts[0]!.added).toEqual([0]);
    const wired = new Bench({ ...fault, wires: [["L", "N"]] });
    expect(wired.solution.shorts[0]!.contacts).toEqual([]);
    expect(wired.leg("L")).toBeNaN();
    const low = new Bench({
      ...fault,
      contacts: [{ name: "S", a: "L", b: "N", closed: "always", ohms: 0.02 }],
    });
    expect(low.solution.shorts[0]!.contacts).toEqual([0]);
    expect(low.contact("S")).toBeCloseTo(6000, 6);
  });

  test("neutral strapped to ground is no short", () => {
    const bench = new Bench({
      legs: { L: 120, N: 0, PE: 0 },
      contacts: [{ name: "S", a: "N", b: "PE", closed: "always" }],
      loads: [{ name: "A", a: "L", b: "N", z: 12 }],
    });
    expect(bench.solution.shorts).toEqual([]);
    expect(bench.leg("N") + bench.leg("PE")).toBeCloseTo(10, 9);
  });
});

describe("overrides", () => {
  const heater: MachineLiteral = {
    legs: split,
    frame: "PE",
    contacts: [{ name: "CT", a: "L1", b: "x", closed: "never" }],
    loads: [{ name: "HT", a: "x", b: "L2", z: 12 }],
  };

  test.each([
    [0.25, 120 / (0.75 * 12)],
    [0.5, 120 / (0.5 * 12)],
    [0.75, 120 / (0.25 * 12)],
  ])(
    "an element that touches its sheath at %f heats with the thermostat open: from the unswitched leg to the case",
    (share, amps) => {
      const bench = new Bench(heater, {}, { loads: new Map([[0, { as: "to-case", share, ohms: 0 }]]) });
      expect(bench.leg("PE")).toBeCloseTo(amps, 9);
      expect(magnitude(bench.solution.caseAmps.get(0)!)).toBeCloseTo(amps, 9);
      expect(bench.load("HT").watts).toBeCloseTo(120 * amps, 6);
    },
  );

  test("balanced at the middle it shows nothing in the ground wire (trade judgement)", () => {
    const closed = { ...heater, contacts: [{ name: "CT", a: "L1", b: "x", closed: "always" }] };
    const bench = new Bench(closed, {}, { loads: new Map([[0, { as: "to-case", share: 0.5, ohms: 0 }]]) });
    expect(bench.leg("PE")).toBeCloseTo(0, 9);
    expect(bench.load("HT").watts).toBeCloseTo(4800, 6);
  });

  test("wires opened or with ohms, connections added, contacts welded and opened", () => {
    const literal: MachineLiteral = {
      legs: { L: 120, N: 0 },
      wires: [
        ["L", "a"],
        ["b", "N"],
      ],
      contacts: [{ name: "S", a: "a", b: "x", closed: "never" }],
      loads: [{ name: "A", a: "x", b: "b", z: 11 }],
    };
    const welded = { contacts: new Map([[0, { as: "closed" } as const]]) };
    expect(new Bench(literal, {}, welded).load("A").amps).toBeCloseTo(120 / 11, 9);
    expect(new Bench(literal, {}, { ...welded, wires: new Map([[0, { as: "open" }]]) }).load("A").amps).toBe(0);
    const bad = new Bench(literal, {}, { ...welded, wires: new Map([[1, { as: "ohms", ohms: 1 }]]) });
    expect(bad.load("A").amps).toBeCloseTo(10, 9);
    expect(bad.volts("b", "N")).toBeCloseTo(10, 9);
    const jumped = new Bench(literal, {}, ({ terminals }) => {
      const id = (name: string): number => terminals.find((one) => one.name === name)!.id;
      return { added: [{ a: id("a"), b: id("x"), ohms: 1 }] };
    });
    expect(jumped.load("A").amps).toBeCloseTo(10, 9);
    expect(jumped.solution.addedAmps.re[0]).toBeCloseTo(10, 9);
  });
});
