/** What a load adds to a sum of phasors: its volts, or what flows for each volt. */
import type { Complex, Load } from "../../machine/machine.ts";
import type { Box } from "./boxes.ts";
import { FULL, type StateSet } from "./diagram.ts";
import { conducts } from "./elements.ts";
import type { LoadTree } from "./load-tree.ts";
import type { Space } from "./space.ts";

/** The volts of a load, each times `yRe + i yIm`. */
export interface Turned {
  readonly volts: LoadTree;
  readonly yRe: number;
  readonly yIm: number;
}

/** What a load adds in the states of `set`; in states of no option of a load it adds nothing. */
export interface Option extends Turned {
  readonly set: StateSet;
  /** States before the move in which the option holds; left out: any. */
  readonly before?: StateSet;
  /** The most that it adds and where that lies, once worked out. */
  reach?: { readonly size: number; readonly box: Box };
}

/** The current of a load for each impedance that it takes, from its first terminal to its second. */
export function currentOptions(space: Space, load: Load, volts: LoadTree): Option[] {
  const varies = load.control !== undefined && load.impedance.length > 1;
  const options: Option[] = [];
  for (const z of varies ? load.impedance : load.impedance.slice(0, 1)) {
    if (!conducts(z)) continue;
    const { yRe, yIm } = admittance(z!);
    if (options.some((other) => other.yRe === yRe && other.yIm === yIm)) continue;
    const same = (other: Complex | undefined): boolean => other?.re === z!.re && other.im === z!.im;
    options.push({ volts, yRe, yIm, set: varies ? space.withImpedance(load, same) : FULL });
  }
  return options;
}

export function admittance({ re, im }: Complex): { yRe: number; yIm: number } {
  const square = re * re + im * im;
  return { yRe: re / square, yIm: -im / square };
}

/** The most that any of the options adds, where the load has the most volts. */
export function mostOfOptions(options: readonly Option[]): number {
  return options.reduce((most, { volts, yRe, yIm }) => Math.max(most, volts.rootMost * Math.hypot(yRe, yIm)), 0);
}
