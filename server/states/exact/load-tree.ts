/**
 * The volts of one load down to each single value, without a set for each: a tree of decisions whose ends are values. A search goes
 * down it with the states it asks about, and leaves out every branch that cannot hold anything larger (or smaller) than what it has.
 */
import type { Box } from "./boxes.ts";
import type { StateSet } from "./diagram.ts";
import type { Shape } from "./shapes.ts";
import type { Values } from "./values.ts";

const NO_VOLTS = { re: 0, im: 0 };

export class LoadTree {
  readonly shape: Shape;
  /** Value at each end; -1: no volts. */
  readonly valueAt: Int32Array;
  private readonly values: Values;
  private readonly mostBelow: Float64Array;
  /** Boxes of the parts, then of the ends. Few trees are ever asked. */
  private known: Float64Array | undefined;

  constructor(shape: Shape, valueAt: Int32Array, values: Values) {
    this.shape = shape;
    this.valueAt = valueAt;
    this.values = values;
    const { yes, no, tests } = shape;
    const count = tests.length;
    this.mostBelow = new Float64Array(count);
    for (let part = 0; part < count; part++)
      this.mostBelow[part] = Math.max(this.most(yes[part]!), this.most(no[part]!));
  }

  /** Largest volts at or below a place; volts that are not told count as any. */
  most(at: number): number {
    if (at >= 0) return this.mostBelow[at]!;
    const value = this.valueAt[~at]!;
    if (value < 0) return 0;
    const most = this.values.hi[value]!;
    return Number.isNaN(most) ? Infinity : most;
  }

  /** Where the volts at or below a place lie; ends without volts count as 0 V. */
  box(at: number): Box {
    const boxes = this.boxes;
    const b = this.boxAt(at);
    return { reLo: boxes[b]!, reHi: boxes[b + 1]!, imLo: boxes[b + 2]!, imHi: boxes[b + 3]! };
  }

  /** The same in a row: least and most of re, least and most of im, from `boxAt` on. */
  get boxes(): Float64Array {
    return (this.known ??= this.allBoxes());
  }

  boxAt(at: number): number {
    return 4 * (at >= 0 ? at : this.shape.tests.length + ~at);
  }

  /** Volts at an end, 0 V where there are none; undefined where they are not told. */
  phasorAt(at: number): { readonly re: number; readonly im: number } | undefined {
    const value = this.valueAt[~at]!;
    if (value < 0) return NO_VOLTS;
    if (Number.isNaN(this.values.re[value]!)) return undefined;
    return { re: this.values.re[value]!, im: this.values.im[value]! };
  }

  testAt(part: number): StateSet {
    return this.shape.tests[part]!;
  }

  private allBoxes(): Float64Array {
    const { yes, no, tests } = this.shape;
    const parts = tests.length;
    const boxes = new Float64Array(4 * (parts + this.valueAt.length));
    this.valueAt.forEach((value, end) => {
      const re = value < 0 ? 0 : this.values.re[value]!;
      const im = value < 0 ? 0 : this.values.im[value]!;
      boxes.set(Number.isNaN(re) ? [-Infinity, Infinity, -Infinity, Infinity] : [re, re, im, im], 4 * (parts + end));
    });
    for (let part = 0; part < parts; part++) {
      const [y, n] = [this.boxAt(yes[part]!), this.boxAt(no[part]!)];
      for (let k = 0; k < 4; k++)
        boxes[4 * part + k] =
          (k & 1) === 0 ? Math.min(boxes[y + k]!, boxes[n + k]!) : Math.max(boxes[y + k]!, boxes[n + k]!);
    }
    return boxes;
  }
}
