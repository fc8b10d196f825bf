/** How the bench speaks of readings. */
import { formatQuantity, toThreeFigures } from "../../grammar/quantity.ts";
import { list } from "../checks/words.ts";
import type { LoadId, Machine } from "../machine/machine.ts";
import type { OhmsExpectation, VoltsExpectation } from "./expected.ts";
import type { Band } from "./part-ohms.ts";
import { closedOhms, openOhms } from "./tables/meters.ts";

/** `10.5 ohm`, `open`; below half an ohm `0.1 ohm`. */
export function ohmsText(ohms: number): string {
  if (!(ohms < openOhms.value)) return "open";
  if (ohms < 0.05) return "0 ohm";
  const digits = ohms < 10 ? 1 : undefined;
  return formatQuantity(digits === undefined ? toThreeFigures(ohms) : Number(ohms.toFixed(digits)), "resistance");
}

export function voltsText(volts: number): string {
  if (Number.isNaN(volts)) return "not told as a number";
  if (volts < 0.05) return "0 V";
  return formatQuantity(volts < 10 ? Number(volts.toFixed(1)) : Math.round(volts), "voltage");
}

/** The unit once where both ends have the same. */
function range(low: string, high: string): string {
  const [, number, unit] = /^(\S+) (\S+)$/.exec(low) ?? [];
  return unit !== undefined && high.endsWith(` ${unit}`) ? `${number} to ${high}` : `${low} to ${high}`;
}

/** `10.5 ohm (9.7 to 11.9 ohm)`, `below 0.5 ohm`, `open`. */
export function ohmsBandText({ low, expected, high }: Band): string {
  if (expected >= openOhms.value) return "open";
  if (high <= closedOhms.value) return `below ${closedOhms.value} ohm`;
  return `${ohmsText(expected)} (${range(ohmsText(low), ohmsText(high))})`;
}

export function ohmsExpectationText(machine: Machine, { known, band, unknown }: OhmsExpectation): string {
  if (known) return ohmsBandText(band);
  const whose = list(unknown.map((load: LoadId) => machine.loads[load]!.name));
  const bounds =
    band.high >= openOhms.value
      ? band.low <= closedOhms.value
        ? ""
        : `, ${ohmsText(band.low)} or more`
      : `, ${ohmsText(band.low)} to ${ohmsText(band.high)}`;
  return `not known${bounds}: the resistance of ${whose} is not written`;
}

export function voltsBandText({ low, expected, high }: Band): string {
  if (Number.isNaN(expected)) return "not told as a number";
  if (high <= 1) return "0 V";
  if (voltsText(low) === voltsText(high)) return voltsText(expected);
  return `${voltsText(expected)} (${range(voltsText(low), voltsText(high))})`;
}

/** Lines on a live reading: the ordinary meter, the low-impedance one where it differs, stray volts. */
export function voltsExpectationTexts({ ordinary, lowImpedance, floating, shorted }: VoltsExpectation): string[] {
  if (shorted) return ["legs of the supply are tied together in this state: the breaker opens"];
  const lines = [voltsBandText(ordinary)];
  const differs = Math.abs(ordinary.expected - lowImpedance.expected) > 2 + 0.03 * ordinary.expected;
  if (differs) lines.push(`with a low-impedance meter ${voltsBandText(lowImpedance)}`);
  if (floating)
    lines.push(
      "one point is tied to nothing here: an ordinary meter may show stray volts, a low-impedance one shows 0 V",
    );
  return lines;
}
