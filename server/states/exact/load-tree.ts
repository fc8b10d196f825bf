/**
 * The volts of one load down to each single value, without a set for each: a tree of decisions whose ends are values. A search goes
 * down it with the states it asks about, and leaves out every branch that cannot hold anything larger (or smaller) than what it has.
 */
import { ANYWHERE, type Box, ORIGIN } from "./boxes.ts";
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
  /** Box of each part: least and most of re, least and most of im. Few trees are ever asked. */
  private boxes: Float64Array | undefined;

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
    if (at < 0) return this.endBox(this.valueAt[~at]!);
    const boxes = (this.boxes ??= this.allBoxes());
    const b = 4 * at;
    return { reLo: boxes[b]!, reHi: boxes[b + 1]!, imLo: boxes[b + 2]!, imHi: boxes[b + 3]! };
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

  private endBox(value: number): Box {
    if (value < 0) return ORIGIN;
    const re = this.values.re[value]!;
    const im = this.values.im[value]!;
    return Number.isNaN(re) ? ANYWHERE : { reLo: re, reHi: re, imLo: im, imHi: im };
  }

  private allBoxes(): Float64Array {
    const { yes, no, tests } = this.shape;
    const boxes = new Float64Array(4 * tests.length);
    const ends = Array.from(this.valueAt, (value) => this.endBox(value));
    for (let part = 0; part < tests.length; part++) {
      let [reLo, reHi, imLo, imHi] = [Infinity, -Infinity, Infinity, -Infinity];
      for (let side = 0; side < 2; side++) {
        const at = side === 0 ? yes[part]! : no[part]!;
        if (at < 0) {
          const end = ends[~at]!;
          reLo = Math.min(reLo, end.reLo);
          reHi = Math.max(reHi, end.reHi);
          imLo = Math.min(imLo, end.imLo);
          imHi = Math.max(imHi, end.imHi);
        } else {
          reLo = Math.min(reLo, boxes[4 * at]!);
          reHi = Math.max(reHi, boxes[4 * at + 1]!);
          imLo = Math.min(imLo, boxes[4 * at + 2]!);
          imHi = Math.max(imHi, boxes[4 * at + 3]!);
        }
      }
      boxes.set([reLo, reHi, imLo, imHi], 4 * part);
    }
    return boxes;
  }
}
