/** Units in and out, exactly. */
import { describe, expect, test } from "vitest";
import {
  formatQuantity,
  formatWireSize,
  parseQuantity,
  toThreeFigures,
  wireGaugeArea,
} from "../../grammar/quantity.ts";
import { errors } from "./support.ts";

describe("reading", () => {
  test.each([
    ["5400 W", "power", 5400],
    ["5.4 kW", "power", 5400],
    ["5.4kW", "power", 5400],
    ["21 mA", "current", 0.021],
    ["850 µA", "current", 0.00085],
    ["15 uF", "capacitance", 0.000015],
    ["47 nF", "capacitance", 4.7e-8],
    ["10.7 Ω", "resistance", 10.7],
    ["2.6 kohm", "resistance", 2600],
    ["10 Mohm", "resistance", 1e7],
    ["120 mH", "inductance", 0.12],
    ["40 VA", "apparent-power", 40],
    ["1725 rpm", "speed", 1725],
    ["45 %", "share", 0.45],
    ["90 s", "time", 90],
    ["5 min", "time", 300],
    ["2 h", "time", 7200],
    ["300 mm", "length", 0.3],
    ["2.5 mm2", "wire-size", 2.5],
    ["4 poles", "count", 4],
    ["-18 C", "temperature", -18],
    ["155 °F", "temperature", (123 * 5) / 9],
    ["14 K", "temperature-difference", 14],
  ])("%s", (text, dimension, value) => {
    expect(parseQuantity(text)).toMatchObject({ text, dimension, value });
  });
  // NIST Special Publication 811 (2008), Appendix B.8: 1 ft = 0.3048 m exactly, 1 hp (550 ft lbf/s) = 745.6999 W;
  // B.8: a temperature interval of 1 °F is 5/9 K, and t/°C = (t/°F - 32)/1.8.
  test("foot, horsepower and Fahrenheit as NIST SP 811 has them", () => {
    expect(parseQuantity("6 ft")?.value).toBeCloseTo(1.8288, 12);
    expect(parseQuantity("1 hp")?.value).toBeCloseTo(745.6999, 4);
    expect(parseQuantity("212 °F")?.value).toBeCloseTo(100, 12);
    expect(parseQuantity("-40 F")?.value).toBeCloseTo(-40, 12);
    expect(parseQuantity("18 F deg")?.value).toBeCloseTo(10, 12);
  });
  test("ranges, tolerances, several values", () => {
    expect(parseQuantity("65 to 71 C")).toMatchObject({ value: 65, upper: 71 });
    expect(parseQuantity("60..290 C")).toMatchObject({ value: 60, upper: 290 });
    expect(parseQuantity("4.8 kohm ±5 %")).toMatchObject({ value: 4800, tolerance: 0.05 });
    expect(parseQuantity("4.8 kohm +-5 %")).toMatchObject({ value: 4800, tolerance: 0.05 });
    expect(parseQuantity("120/208 V")).toMatchObject({ value: 120, alternatives: [208] });
  });
  test.each(["", "5", "W", "5 quux", "1/0 hp W", "5 W 3 V", "}"])("%j is no quantity of its own", (text) => {
    const quantity = parseQuantity(text);
    expect(quantity === undefined || quantity.unit === "").toBe(true);
  });
});

describe("printing", () => {
  test.each([
    [22.5, "current", "22.5 A"],
    [0.85, "current", "850 mA"],
    [0.021, "current", "21 mA"],
    [0, "current", "0 A"],
    [10.6667, "resistance", "10.7 ohm"],
    [2600, "resistance", "2.6 kohm"],
    [5400, "power", "5.4 kW"],
    [999.96, "power", "1 kW"],
    [240, "voltage", "240 V"],
    [15e-6, "capacitance", "15 µF"],
    [745.699872 / 3, "horsepower", "1/3 hp"],
    [745.699872 * 1.5, "horsepower", "1 1/2 hp"],
    [-18, "temperature", "-18 °C"],
    [300, "time", "5 min"],
    [Number.POSITIVE_INFINITY, "resistance", "open"],
    [Number.NaN, "current", "not known"],
  ] as const)("%s %s is %s", (value, dimension, text) => {
    expect(formatQuantity(value, dimension)).toBe(text);
  });
  test("what is printed is read back as the same to three figures", () => {
    for (const value of [1, 9.99, 12.3, 456, 7890, 0.0123]) {
      for (const dimension of ["voltage", "current", "power", "resistance"] as const) {
        const back = parseQuantity(formatQuantity(value, dimension));
        expect(back?.dimension).toBe(dimension);
        expect(Math.abs(back!.value / value - 1)).toBeLessThan(0.005);
      }
    }
  });
});

// Areas in mm2 by d = 0.127 mm * 92^((36-n)/39), the formula of ASTM B258, computed apart from this project's code (mark: computed);
// circular mils as printed in a public text, Lessons in Electric Circuits, Vol. I (DC), Chapter 12 (mark: primary, read).
describe("wire gauges", () => {
  test.each([
    [8, 8.3656, 16510],
    [10, 5.2612, 10380],
    [12, 3.3088, 6530],
    [14, 2.0809, 4107],
  ])("%i AWG", (gauge, area, circularMils) => {
    expect(parseQuantity(`${gauge} AWG`)?.value).toBeCloseTo(area, 4);
    const mm2PerCircularMil = (Math.PI / 4) * 0.0254 ** 2;
    expect(Math.abs(wireGaugeArea(gauge) / mm2PerCircularMil / circularMils - 1)).toBeLessThan(0.001);
    expect(formatWireSize(wireGaugeArea(gauge))).toBe(`${gauge} AWG`);
  });
  test("metric sizes stay metric", () => expect(formatWireSize(2.5)).toBe("2.5 mm2"));
});

describe("wrong units", () => {
  test.each([
    ["heater HT 68 C", ["wrong-unit: 68 C"]],
    ["thermostat CT opens 240 V", ["wrong-unit: 240 V"]],
    ["thermostat CT { bias 3 to 4 120 V lowers 14 C }", ["wrong-unit: 14 C"]],
    ["capacitor C1 15 ohm", ["wrong-unit: 15 ohm"]],
    ["switch S rated 15 Hz 125 V", ["wrong-unit: 15 Hz"]],
    ["wire A to B 5 W", ["wrong-unit: 5 W"]],
    ["supply 120 V 60 A", ["unexpected-word: 60 A"]],
    ["heater HT 5400", ["wrong-unit: 5400"]],
  ])("%s", (text, expected) => expect(errors(text)).toEqual(expected));
});

// ECMA-262, Number.prototype.toPrecision: the outside reference, with numbers halfway between two and next to powers of ten among them.
test("three figures are those of the language's own rounding", () => {
  let seed = 7;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const off = [];
  for (let run = 0; run < 20_000; run++) {
    const whole = Math.floor(random() * 1e5);
    const ten = 10 ** Math.floor(random() * 12);
    const values = [
      random() * 10 ** (Math.floor(random() * 26) - 12),
      whole / ten,
      (whole + 0.5) / ten,
      10 ** (run % 20) - random(),
    ];
    off.push(...values.filter((value) => toThreeFigures(value) !== Number(value.toPrecision(3))));
    off.push(...values.filter((value) => toThreeFigures(-value) !== Number((-value).toPrecision(3))));
  }
  expect(off).toEqual([]);
});
