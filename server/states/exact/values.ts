/**
 * Volts and kinds of loads as numbers. Volts that differ by rounding only get one number, so that pieces solved in another order
 * agree; a load's kind is everything its class depends on, so that equal loads in different places share results.
 */
import type { Complex, Load, Transformer } from "../../machine/machine.ts";
import { IntTable } from "./int-table.ts";

export const OFF = 0;
export const WEAK = 1;
export const WORKS = 2;
export const OVER = 3;
/** Above every class. */
export const NEVER = 4;

/** A bound counts as reached from this much below it (MEANING.md, 6). */
export const SLACK = 1e-9;
/** Share of the largest leg from which a load without rated volts counts as working (MEANING.md, 5). */
const FED_SHARE = 0.01;

/** Numbers with a meaning of their own among the values. */
export const NOT_SOLVED = 0;
export const NOT_COVERED = 1;

/** Phasors of volts across loads, where each single one is told apart. */
export class Values {
  readonly re: number[] = [Number.NaN, Number.NaN];
  readonly im: number[] = [Number.NaN, Number.NaN];
  private readonly table = new IntTable();
  private readonly key = new Int32Array(3);

  constructor() {
    this.table.intern([1], 0, 1);
    this.table.intern([2], 0, 1);
  }

  /** Number of a phasor other than 0 V. */
  phasor(re: number, im: number): number {
    const size = Math.hypot(re, im);
    if (Number.isNaN(size)) return NOT_SOLVED;
    const power = Math.ceil(Math.log2(size));
    const grain = 2 ** (power - 30);
    this.key[0] = power;
    this.key[1] = Math.round(re / grain);
    this.key[2] = Math.round(im / grain);
    const found = this.table.intern(this.key, 0, 3);
    if (found >= 0) return found;
    this.re.push(re);
    this.im.push(im);
    return this.re.length - 1;
  }
}

/** What the volts of a load mean. */
export interface LoadType {
  readonly impedance: readonly (Complex | undefined)[];
  readonly ratedVolts?: number;
  readonly weak: number;
  readonly works: number;
  readonly over: number;
  /** From this class on values must never be put together: something needs their phase or amps. `NEVER`: nothing does. */
  readonly keepsFrom: number;
  readonly diode: boolean;
}

/** The same with the admittance in each position, re and im by turns. */
interface KnownType extends LoadType {
  readonly admittance: Float64Array;
}

export class LoadTypes {
  readonly types: KnownType[] = [];
  readonly transformers: Pick<Transformer, "ratio" | "series" | "magnetising">[] = [];
  private readonly table = new IntTable();
  private readonly transformerTable = new IntTable();
  /** Some type is of a diode. */
  hasDiodes = false;

  add(type: LoadType): number {
    const floats = [type.ratedVolts ?? -1, type.weak, type.works, type.over, type.keepsFrom, type.diode ? 1 : 0];
    for (const z of type.impedance) floats.push(z ? z.re : Number.NaN, z ? z.im : Number.NaN);
    const ints = new Int32Array(Float64Array.from(floats).buffer);
    const found = this.table.intern(ints, 0, ints.length);
    if (found >= 0) return found;
    this.hasDiodes ||= type.diode;
    this.types.push({ ...type, admittance: Float64Array.from(type.impedance.flatMap(admittanceOf)) });
    return this.types.length - 1;
  }

  load(load: Load, largestLeg: number, keepsFrom: number): number {
    const impedance = load.control === undefined ? load.impedance.slice(0, 1) : load.impedance;
    const diode = load.kind === "diode";
    // Without rated volts: the bound is one of volts, and there is no weak nor over.
    if (load.ratedVolts === undefined) {
      const bound = largestLeg * FED_SHARE;
      return this.add({ impedance, weak: bound, works: bound, over: Infinity, keepsFrom, diode });
    }
    const { weak, works, over } = load.scale;
    return this.add({ impedance, ratedVolts: load.ratedVolts, weak, works, over, keepsFrom, diode });
  }

  /** Number of what a transformer is made of. */
  transformer({ ratio, series, magnetising }: Transformer): number {
    const floats = [-2, ratio, series.re, series.im, magnetising.re, magnetising.im];
    const ints = new Int32Array(Float64Array.from(floats).buffer);
    const found = this.transformerTable.intern(ints, 0, ints.length);
    if (found >= 0) return found;
    this.transformers.push({ ratio, series, magnetising });
    return this.transformers.length - 1;
  }

  resistor(ohms: number): number {
    return this.add({ impedance: [{ re: ohms, im: 0 }], weak: 0, works: 0, over: 0, keepsFrom: NEVER, diode: false });
  }

  capacitance(siemens: number): number {
    const impedance = [{ re: 0, im: -1 / siemens }];
    return this.add({ impedance, weak: 0, works: 0, over: 0, keepsFrom: NEVER, diode: false });
  }

  classOf(type: number, volts: number): number {
    const { ratedVolts, weak, works, over } = this.types[type]!;
    if (Number.isNaN(volts)) return WORKS;
    const fraction = (ratedVolts === undefined ? volts : volts / ratedVolts) + SLACK;
    if (fraction < weak) return OFF;
    if (fraction < works) return WEAK;
    return fraction < over ? WORKS : OVER;
  }
}

function admittanceOf(z: Complex | undefined): [number, number] {
  if (z === undefined) return [Number.NaN, Number.NaN];
  const square = z.re * z.re + z.im * z.im;
  return [z.re / square, -z.im / square];
}
