/** How resistance changes with heat: what a part reads cold is not what it has while it works. */
import type { Sourced } from "../../machine/tables/source.ts";

/**
 * Resistance of a Cr20Ni80 wire at a temperature (°C) over its resistance at 20 °C. The curve is not monotone: a straight
 * line overstates the hot resistance.
 */
export const nichromeFactors: Sourced<readonly (readonly [celsius: number, factor: number])[]> = {
  value: [
    [20, 1],
    [100, 1.006],
    [200, 1.012],
    [300, 1.018],
    [400, 1.025],
    [500, 1.026],
    [600, 1.018],
    [700, 1.01],
    [800, 1.008],
    [900, 1.01],
    [1000, 1.014],
    [1100, 1.021],
    [1200, 1.025],
  ],
  source: "an alloy maker's table of the factor Ct of Cr20Ni80 (that of GB/T 1234)",
  mark: "secondary",
};

/** Between the points of the table straight lines, beyond its ends its ends. */
export function nichromeFactor(celsius: number): number {
  const points = nichromeFactors.value;
  const after = points.findIndex(([at]) => at >= celsius);
  if (after < 0) return points.at(-1)![1];
  if (after === 0) return points[0]![1];
  const [t0, f0] = points[after - 1]!;
  const [t1, f1] = points[after]!;
  return f0 + ((f1 - f0) * (celsius - t0)) / (t1 - t0);
}

/** At what temperature an open or sheathed heater of the trade works, °C. */
export const heaterCelsius: Sourced<number> = { value: 600, source: "common practice", mark: "common practice" };

/** Annealed copper, per kelvin at 20 °C (CRC Handbook, 78th ed., gives 0.00404 for the pure element). */
export const copperCoefficient: Sourced<number> = { value: 0.00393, source: "IEC 60028", mark: "memory" };

/** Resistance of copper at one temperature over that at another, °C. */
export function copperFactor(from: number, to: number): number {
  const alpha = copperCoefficient.value;
  return (1 + alpha * (to - 20)) / (1 + alpha * (from - 20));
}

/** A winding that has just worked: hot to the hand, well inside class B. */
export const warmWindingCelsius: Sourced<number> = { value: 75, source: "common practice", mark: "common practice" };
