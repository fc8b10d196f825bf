/** Quantities as people read and write them: printing values for readouts, reading one quantity from text. */
import { parse } from "./parse.ts";
import type { Dimension, QuantityNode } from "./tree.ts";
import { WATTS_PER_HORSEPOWER, wireGaugeArea } from "./units.ts";

export { siValue, unitNamed, units, WATTS_PER_HORSEPOWER, wireGaugeArea } from "./units.ts";

/** A unit with a prefix, as it is printed from that size on. */
interface Step {
  readonly unit: string;
  /** Ten to the power that the prefix stands for, and the inverse of it: one of them a whole number, and exact. */
  readonly size: number;
  readonly inverse: number;
}

const powers: Readonly<Record<string, number>> = { p: -12, n: -9, µ: -6, m: -3, "": 0, k: 3, M: 6 };

function printedIn(unit: string, prefixes: readonly string[]): { readonly unit: string; readonly steps: Step[] } {
  const step = (prefix: string): Step => {
    const power = powers[prefix]!;
    return { unit: `${prefix}${unit}`, size: 10 ** power, inverse: 10 ** -power };
  };
  return { unit, steps: prefixes.map(step) };
}

/** Unit printed for a dimension and the steps it is printed in, the smallest first. */
const printed: Readonly<Partial<Record<Dimension, { readonly unit: string; readonly steps: readonly Step[] }>>> = {
  voltage: printedIn("V", ["m", "", "k"]),
  current: printedIn("A", ["µ", "m", ""]),
  power: printedIn("W", ["m", "", "k"]),
  "apparent-power": printedIn("VA", ["", "k"]),
  resistance: printedIn("ohm", ["m", "", "k", "M"]),
  capacitance: printedIn("F", ["p", "n", "µ"]),
  inductance: printedIn("H", ["m", ""]),
  frequency: printedIn("Hz", ["", "k"]),
  time: printedIn("s", ["m", ""]),
  length: printedIn("m", ["m", ""]),
};

/** Three significant figures without needless zeros: `22.5`, `0.85`, `120`, `-18`. */
export function threeFigures(value: number): string {
  if (value === 0 || !Number.isFinite(value)) return value === 0 ? "0" : String(value);
  const text = toThreeFigures(value).toString();
  return text.includes("e") ? toThreeFigures(value).toFixed(0) : text;
}

/** Powers of ten that a double holds exactly and that values of circuits come near. */
const tens = Float64Array.from({ length: 16 }, (_, power) => 10 ** power);

/** The number with three significant digits that is nearest: `Number(value.toPrecision(3))`, which takes many times longer. */
export function toThreeFigures(value: number): number {
  const size = Math.abs(value);
  if (size >= 1e-9 && size < 1e12) {
    let power = 0;
    if (size >= 1000) for (let more = size; more >= 1000; more /= 10) power--;
    else for (let less = size; less < 100; less *= 10) power++;
    const digits = power >= 0 ? size * tens[power]! : size / tens[-power]!;
    const whole = Math.round(digits);
    // So near the middle between two that the product does not tell, or outside of the three digits: the slow way.
    if (Math.abs(digits - whole) < 0.499999 && whole >= 100 && whole <= 999)
      return Math.sign(value) * (power >= 0 ? whole / tens[power]! : whole * tens[-power]!);
  }
  return Number(value.toPrecision(3));
}

/** `1/3`, `1 1/2`, or a decimal number, for horsepower. */
function horsepowerNumber(horsepower: number): string {
  for (const below of [2, 3, 4, 5, 6, 8, 10, 12, 15, 16, 20, 25, 30, 32, 40, 50]) {
    const above = Math.round(horsepower * below);
    if (above === 0 || Math.abs(above / below - horsepower) > horsepower * 1e-6) continue;
    const whole = Math.floor(above / below);
    const rest = above % below;
    if (rest === 0) return String(whole);
    return whole > 0 ? `${whole} ${rest}/${below}` : `${rest}/${below}`;
  }
  return threeFigures(horsepower);
}

/**
 * An SI value in words of the trade, to three significant figures: `22.5 A`, `10.7 ohm`, `850 mA`, `5.4 kW`, `1/3 hp`. Values that
 * are not finite are printed as `open` for a resistance and `not known` otherwise.
 */
export function formatQuantity(value: number, dimension: Dimension): string {
  if (!Number.isFinite(value)) return dimension === "resistance" ? "open" : "not known";
  switch (dimension) {
    case "temperature":
      return `${threeFigures(value)} °C`;
    case "temperature-difference":
      return `${threeFigures(value)} K`;
    case "wire-size":
      return `${threeFigures(value)} mm2`;
    case "share":
      return `${threeFigures(value * 100)} %`;
    case "speed":
      return `${Math.round(value)} rpm`;
    case "horsepower":
      return `${horsepowerNumber(value / WATTS_PER_HORSEPOWER)} hp`;
    case "count":
      return threeFigures(value);
    case "time":
      if (Math.abs(value) >= 3600 && value % 3600 === 0) return `${value / 3600} h`;
      if (Math.abs(value) >= 60 && value % 60 === 0) return `${value / 60} min`;
  }
  const { unit, steps } = printed[dimension]!;
  if (value === 0) return `0 ${unit}`;
  const rounded = Math.abs(toThreeFigures(value));
  let step = steps[0]!;
  for (const next of steps) if (rounded >= next.size) step = next;
  // Volts, watts and hertz are read in thousands only from 1000 on; 1725 W stays legible either way.
  return `${threeFigures(step.size >= 1 ? value / step.size : value * step.inverse)} ${step.unit}`;
}

/** `10 AWG` for an area that is one of the gauges 0 to 40, `2.5 mm2` otherwise. */
export function formatWireSize(area: number): string {
  const gauge = Math.round(36 - (39 * Math.log(Math.sqrt((4 * area) / Math.PI) / 0.127)) / Math.log(92));
  if (gauge >= 0 && gauge <= 40 && Math.abs(wireGaugeArea(gauge) - area) < area * 1e-6) return `${gauge} AWG`;
  return formatQuantity(area, "wire-size");
}

/** Reads one quantity standing alone, such as what a person types into a box; undefined when it is none. */
export function parseQuantity(text: string): QuantityNode | undefined {
  const before = "change X to ";
  const tree = parse(`proposal "" {\n${before}${text.replace(/[\r\n{}]/g, " ")}\n}`);
  const proposal = tree.statements[0];
  if (tree.errors.length > 0 || proposal?.statement !== "proposal") return undefined;
  const edit = proposal.edits[0];
  if (edit?.edit !== "change" || edit.items.length !== 1 || edit.items[0]?.item !== "quantity") return undefined;
  const shift = edit.items[0].from;
  const { quantity } = edit.items[0];
  return { ...quantity, from: quantity.from - shift, to: quantity.to - shift };
}
