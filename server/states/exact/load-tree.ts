/**
 * The volts of one load down to each single value, without a set for each: a tree of decisions whose ends are values. A search goes
 * down it with the states it asks about, and leaves out every branch that cannot hold anything larger (or smaller) than what it has.
 */
import type { StateSet } from "./diagram.ts";
import type { Shape } from "./shapes.ts";
import type { Values } from "./values.ts";

export class LoadTree {
  readonly shape: Shape;
  /** Value at each end; -1: no volts. */
  readonly valueAt: Int32Array;
  private readonly values: Values;
  private readonly mostBelow: Float64Array;
  private readonly leastBelow: Float64Array;

  constructor(shape: Shape, valueAt: Int32Array, values: Values) {
    this.shape = shape;
    this.valueAt = valueAt;
    this.values = values;
    const { yes, no, tests } = shape;
    const count = tests.length;
    this.mostBelow = new Float64Array(count);
    this.leastBelow = new Float64Array(count);
    for (let part = 0; part < count; part++) {
      this.mostBelow[part] = Math.max(this.most(yes[part]!), this.most(no[part]!));
      this.leastBelow[part] = Math.min(this.least(yes[part]!), this.least(no[part]!));
    }
  }

  /** Largest volts at or below a place; volts that are not told count as any. */
  most(at: number): number {
    if (at >= 0) return this.mostBelow[at]!;
    const value = this.valueAt[~at]!;
    if (value < 0) return 0;
    const most = this.values.hi[value]!;
    return Number.isNaN(most) ? Infinity : most;
  }

  /** Smallest volts at or below a place, ends without volts left out. */
  least(at: number): number {
    if (at >= 0) return this.leastBelow[at]!;
    const value = this.valueAt[~at]!;
    if (value < 0) return Infinity;
    const least = this.values.lo[value]!;
    return Number.isNaN(least) ? 0 : least;
  }

  /** Volts at an end; undefined where there are none or they are not told. */
  phasorAt(at: number): { readonly re: number; readonly im: number } | undefined {
    const value = this.valueAt[~at]!;
    if (value < 0 || Number.isNaN(this.values.re[value]!)) return undefined;
    return { re: this.values.re[value]!, im: this.values.im[value]! };
  }

  testAt(part: number): StateSet {
    return this.shape.tests[part]!;
  }
}
