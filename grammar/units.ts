/**
 * Units that a technician writes, each with its dimension and the exact step to the SI value of `QuantityNode`.
 * Decimal units are held as a power of ten so that `5.4 kW` is read as the nearest number to 5400, not as 5.4 times 1000.
 * Factors of foot, inch and horsepower: NIST Special Publication 811 (2008), Appendix B (1 ft = 0.3048 m exactly;
 * 1 hp of 550 ft lbf/s = 745.699872 W).
 */
import type { Dimension } from "./tree.ts";

export interface Unit {
  /** As it is printed back to people. */
  readonly name: string;
  /** Other spellings that are read. */
  readonly also?: readonly string[];
  readonly dimension: Dimension;
  /** SI value = number * 10^exponent. */
  readonly exponent?: number;
  /** SI value = number * factor, for units that are no power of ten. */
  readonly factor?: number;
  /** One line for completion. */
  readonly text: string;
}

export const WATTS_PER_HORSEPOWER = 745.699872;

export const units: readonly Unit[] = [
  { name: "V", also: ["VAC", "Vac", "volt", "volts"], dimension: "voltage", exponent: 0, text: "volt" },
  { name: "mV", dimension: "voltage", exponent: -3, text: "millivolt" },
  { name: "kV", dimension: "voltage", exponent: 3, text: "kilovolt" },
  { name: "A", also: ["amp", "amps"], dimension: "current", exponent: 0, text: "ampere" },
  { name: "mA", dimension: "current", exponent: -3, text: "milliampere" },
  { name: "µA", also: ["uA", "μA"], dimension: "current", exponent: -6, text: "microampere" },
  { name: "W", also: ["watt", "watts"], dimension: "power", exponent: 0, text: "watt" },
  { name: "kW", dimension: "power", exponent: 3, text: "kilowatt" },
  { name: "mW", dimension: "power", exponent: -3, text: "milliwatt" },
  { name: "VA", dimension: "apparent-power", exponent: 0, text: "volt-ampere" },
  { name: "kVA", dimension: "apparent-power", exponent: 3, text: "kilovolt-ampere" },
  { name: "ohm", also: ["Ω", "Ω", "ohms"], dimension: "resistance", exponent: 0, text: "ohm" },
  { name: "mohm", also: ["mΩ", "mΩ"], dimension: "resistance", exponent: -3, text: "milliohm" },
  { name: "kohm", also: ["kΩ", "kΩ", "kohms", "k"], dimension: "resistance", exponent: 3, text: "kilohm" },
  { name: "Mohm", also: ["MΩ", "MΩ"], dimension: "resistance", exponent: 6, text: "megohm" },
  {
    name: "µF",
    also: ["uF", "μF", "uf", "µf", "MFD", "mfd"],
    dimension: "capacitance",
    exponent: -6,
    text: "microfarad",
  },
  { name: "nF", dimension: "capacitance", exponent: -9, text: "nanofarad" },
  { name: "pF", dimension: "capacitance", exponent: -12, text: "picofarad" },
  { name: "H", dimension: "inductance", exponent: 0, text: "henry" },
  { name: "mH", dimension: "inductance", exponent: -3, text: "millihenry" },
  { name: "Hz", dimension: "frequency", exponent: 0, text: "hertz" },
  { name: "°C", also: ["C", "degC"], dimension: "temperature", exponent: 0, text: "degree Celsius" },
  { name: "°F", also: ["F", "degF"], dimension: "temperature", text: "degree Fahrenheit" },
  { name: "K", dimension: "temperature-difference", exponent: 0, text: "kelvin, for differences" },
  { name: "F deg", dimension: "temperature-difference", text: "Fahrenheit degree, for differences" },
  { name: "C deg", dimension: "temperature-difference", exponent: 0, text: "Celsius degree, for differences" },
  { name: "s", also: ["sec"], dimension: "time", exponent: 0, text: "second" },
  { name: "ms", dimension: "time", exponent: -3, text: "millisecond" },
  { name: "min", dimension: "time", factor: 60, text: "minute" },
  { name: "h", dimension: "time", factor: 3600, text: "hour" },
  { name: "m", dimension: "length", exponent: 0, text: "metre" },
  { name: "cm", dimension: "length", exponent: -2, text: "centimetre" },
  { name: "mm", dimension: "length", exponent: -3, text: "millimetre" },
  { name: "ft", dimension: "length", factor: 0.3048, text: "foot" },
  { name: "inch", also: ["inches"], dimension: "length", factor: 0.0254, text: "inch" },
  { name: "AWG", also: ["awg", "ga", "gauge"], dimension: "wire-size", text: "American wire gauge" },
  { name: "mm2", also: ["mm²"], dimension: "wire-size", exponent: 0, text: "square millimetre" },
  { name: "%", dimension: "share", exponent: -2, text: "per cent" },
  { name: "rpm", dimension: "speed", exponent: 0, text: "revolutions per minute" },
  { name: "hp", also: ["HP"], dimension: "horsepower", factor: WATTS_PER_HORSEPOWER, text: "horsepower" },
  { name: "poles", also: ["pole"], dimension: "count", exponent: 0, text: "poles of a motor" },
];

const unitsByName = new Map<string, Unit>();
for (const unit of units) for (const name of [unit.name, ...(unit.also ?? [])]) unitsByName.set(name, unit);

/** The unit of that spelling, or undefined. */
export function unitNamed(name: string): Unit | undefined {
  return unitsByName.get(name);
}

/** Every spelling that is read, in table order. */
export function unitSpellings(): readonly string[] {
  return [...unitsByName.keys()];
}

/** What people call a dimension, with its usual units: for messages and for the reference page. */
export const dimensionNames: Readonly<Record<Dimension, { readonly name: string; readonly example: string }>> = {
  voltage: { name: "a voltage", example: "240 V" },
  current: { name: "a current", example: "5.2 A" },
  power: { name: "a power", example: "5400 W" },
  "apparent-power": { name: "an apparent power", example: "40 VA" },
  resistance: { name: "a resistance", example: "10.7 ohm" },
  capacitance: { name: "a capacitance", example: "15 uF" },
  inductance: { name: "an inductance", example: "120 mH" },
  frequency: { name: "a frequency", example: "60 Hz" },
  temperature: { name: "a temperature", example: "68 C" },
  "temperature-difference": { name: "a temperature difference", example: "14 K" },
  time: { name: "a time", example: "90 s" },
  length: { name: "a length", example: "1.2 m" },
  "wire-size": { name: "a wire size", example: "10 AWG" },
  share: { name: "a share", example: "45 %" },
  speed: { name: "a speed", example: "1725 rpm" },
  horsepower: { name: "a motor power", example: "1/3 hp" },
  count: { name: "a plain number", example: "4" },
};

/** Area in mm2 of a wire gauge number: diameter 0.127 mm * 92^((36 - n) / 39), ASTM B258. 0, 00 are -0 ("1/0"), -1. */
export function wireGaugeArea(gauge: number): number {
  const diameter = 0.127 * 92 ** ((36 - gauge) / 39);
  return (Math.PI / 4) * diameter * diameter;
}

const decimals = /^\d+(?:\.\d+)?$/;

/**
 * SI value of a number as written (`5.4`, `1/3`, `1 1/2`, `-18`) in a unit; undefined when it is no such number.
 * A number without unit is returned as it stands.
 */
export function siValue(number: string, unit: Unit | undefined): number | undefined {
  const negative = number.startsWith("-");
  const body = negative ? number.slice(1).trim() : number;
  let value: number;
  if (decimals.test(body)) {
    value = Number(unit?.exponent ? `${body}e${unit.exponent}` : body);
    if (unit?.factor !== undefined) value *= unit.factor;
  } else {
    const fraction = /^(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)$/.exec(body);
    if (!fraction || Number(fraction[3]) === 0) return undefined;
    value = (Number(fraction[1] ?? 0) * Number(fraction[3]) + Number(fraction[2])) / Number(fraction[3]);
    value *= unit?.factor ?? 10 ** (unit?.exponent ?? 0);
  }
  if (negative) value = -value;
  if (unit?.name === "°F") return ((value - 32) * 5) / 9;
  if (unit?.name === "F deg") return (value * 5) / 9;
  if (unit?.name === "AWG") return wireGaugeArea(value);
  return value;
}
