/**
 * The volts of one load down to each single value, without a set for each: a tree of decisions whose ends are values. A search goes
 * down it with the states it asks about, and leaves out every branch that cannot hold anything larger (or smaller) than what it has.
 */
import type { Box } from "./boxes.ts";
import type { Decision } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";
import type { Shape } from "./shapes.ts";

const NO_VOLTS = { re: 0, im: 0 };

export class LoadTree {
  readonly shape: Shape;
  /** Phasor at each end, V; NaN: not told. */
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** Volts at each end, NaN: not told. */
  readonly sizes: Float64Array;
  /** Largest volts at or below each part, then at each end. Few trees are ever asked. */
  private knownMosts: Float64Array | undefined;
  private knownBoxes: Float64Array | undefined;
  private knownSlants: Float64Array | undefined;
  private knownRoot: Box | undefined;

  /**
   * @param re phasor at each end, V; NaN: not told
   * @param size its magnitude, NaN: not told
   */
  constructor(shape: Shape, re: Float64Array, im: Float64Array, size: Float64Array) {
    this.shape = shape;
    this.re = re;
    this.im = im;
    this.sizes = size;
  }

  /** True when these are its volts at each end, to the last bit. */
  hasVolts(re: Float64Array, im: Float64Array): boolean {
    for (let end = 0; end < re.length; end++)
      if (!Object.is(this.re[end], re[end]) || !Object.is(this.im[end], im[end])) return false;
    return true;
  }

  /** Place of a part, or of an end after all parts. */
  placeOf(at: number): number {
    return at >= 0 ? at : this.shape.tests.length + ~at;
  }

  /** Largest volts at or below a place; volts that are not told count as any. */
  most(at: number): number {
    return this.mosts[this.placeOf(at)]!;
  }

  /** The same by `placeOf`. */
  get mosts(): Float64Array {
    return (this.knownMosts ??= this.allMosts());
  }

  /** The same for all of the tree. */
  get rootMost(): number {
    return this.most(this.shape.root);
  }

  /** Where all volts of the load lie. */
  get rootBox(): Box {
    return (this.knownRoot ??= this.box(this.shape.root));
  }

  /** Where the volts at or below a place lie; ends without volts count as 0 V. */
  box(at: number): Box {
    const boxes = this.boxes;
    const b = 4 * this.placeOf(at);
    return { reLo: boxes[b]!, reHi: boxes[b + 1]!, imLo: boxes[b + 2]!, imHi: boxes[b + 3]! };
  }

  /** The same in a row: least and most of re, least and most of im, from four times `placeOf` on. */
  get boxes(): Float64Array {
    return (this.knownBoxes ??= this.around(this.re, this.im));
  }

  /** In a row: least and most of re + im, least and most of re - im, from four times `placeOf` on. They cut the corners off the boxes. */
  get slants(): Float64Array {
    const { re, im } = this;
    return (this.knownSlants ??= this.around(
      re.map((x, end) => x + im[end]!),
      re.map((x, end) => x - im[end]!),
    ));
  }

  /** Volts at an end, 0 V where there are none; undefined where they are not told. */
  phasorAt(at: number): { readonly re: number; readonly im: number } | undefined {
    const re = this.re[~at]!;
    const im = this.im[~at]!;
    if (re === 0 && im === 0) return NO_VOLTS;
    return Number.isNaN(re) ? undefined : { re, im };
  }

  /** The decision at a place: the same in all trees that go on alike. */
  decisionAt(at: number): Decision {
    return at >= 0 ? this.shape.parts[at]! : this.shape.ends[~at]!;
  }

  testAt(part: number): StateSet {
    return this.shape.tests[part]!;
  }

  private allMosts(): Float64Array {
    const { sizes: size } = this;
    const { yes, no } = this.shape;
    const parts = yes.length;
    const mosts = new Float64Array(parts + size.length);
    for (let end = 0; end < size.length; end++) mosts[parts + end] = Number.isNaN(size[end]!) ? Infinity : size[end]!;
    for (let part = 0; part < parts; part++) {
      const y = yes[part]!;
      const n = no[part]!;
      const first = mosts[y >= 0 ? y : parts + ~y]!;
      const second = mosts[n >= 0 ? n : parts + ~n]!;
      mosts[part] = Math.max(first, second);
    }
    return mosts;
  }

  /** Least and most of two numbers told of each end, at or below each place; NaN: any. */
  private around(re: Float64Array, im: Float64Array): Float64Array {
    const { yes, no } = this.shape;
    const parts = yes.length;
    const boxes = new Float64Array(4 * (parts + re.length));
    for (let end = 0; end < re.length; end++) {
      const b = 4 * (parts + end);
      const told = !Number.isNaN(re[end]!);
      boxes[b] = told ? re[end]! : -Infinity;
      boxes[b + 1] = told ? re[end]! : Infinity;
      boxes[b + 2] = told ? im[end]! : -Infinity;
      boxes[b + 3] = told ? im[end]! : Infinity;
    }
    for (let part = 0; part < parts; part++) {
      const y = yes[part]!;
      const n = no[part]!;
      const p = 4 * (y >= 0 ? y : parts + ~y);
      const q = 4 * (n >= 0 ? n : parts + ~n);
      const b = 4 * part;
      boxes[b] = Math.min(boxes[p]!, boxes[q]!);
      boxes[b + 1] = Math.max(boxes[p + 1]!, boxes[q + 1]!);
      boxes[b + 2] = Math.min(boxes[p + 2]!, boxes[q + 2]!);
      boxes[b + 3] = Math.max(boxes[p + 3]!, boxes[q + 3]!);
    }
    return boxes;
  }
}
