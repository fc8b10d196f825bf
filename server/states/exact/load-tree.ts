/**
 * The volts of one load down to each single value, without a set for each: a tree of decisions whose ends are values. A search goes
 * down it with the states it asks about, and leaves out every branch that cannot hold anything larger (or smaller) than what it has.
 */
import type { Box } from "./boxes.ts";
import type { Decision } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";
import { isSameNumber } from "./same-number.ts";
import type { Shape } from "./shapes.ts";

const NO_VOLTS = { re: 0, im: 0 };

/** So many numbers, to be written: as doubles from the beginning, which a list of whole numbers would not be. */
export function doubles(count: number): number[] {
  return new Array<number>(count).fill(0.5);
}

function sizesOf(re: readonly number[], im: readonly number[]): number[] {
  const sizes = doubles(re.length);
  for (let end = 0; end < re.length; end++) sizes[end] = Math.sqrt(re[end]! * re[end]! + im[end]! * im[end]!);
  return sizes;
}

export class LoadTree {
  readonly shape: Shape;
  /** Phasor at each end, V; NaN: not told. Plain lists, which are copied many times quicker than typed ones. */
  readonly re: readonly number[];
  readonly im: readonly number[];
  /** Volts at each end, NaN: not told. */
  readonly sizes: readonly number[];
  /** Largest volts at or below each part, then at each end. Few trees are ever asked. */
  private knownMosts: Float64Array | undefined;
  private knownOutlines: Float64Array | undefined;
  private knownRoot: Float64Array | undefined;
  private knownRootMost: number | undefined;

  /** @param sizes of the phasors, where they are known */
  constructor(shape: Shape, re: readonly number[], im: readonly number[], sizes: readonly number[] = sizesOf(re, im)) {
    this.shape = shape;
    this.re = re;
    this.im = im;
    this.sizes = sizes;
  }

  /** True when the volts at these ends are those of another tree of the same shape, to the last bit. */
  hasVoltsAt(ends: Int32Array, { re, im }: LoadTree): boolean {
    for (let k = 0; k < ends.length; k++) {
      const end = ends[k]!;
      if (!isSameNumber(this.re[end]!, re[end]!) || !isSameNumber(this.im[end]!, im[end]!)) return false;
    }
    return true;
  }

  /** The same at each end. */
  hasVoltsOf({ re, im }: LoadTree): boolean {
    for (let end = 0; end < re.length; end++)
      if (!isSameNumber(this.re[end]!, re[end]!) || !isSameNumber(this.im[end]!, im[end]!)) return false;
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
    if (this.knownRootMost !== undefined) return this.knownRootMost;
    let most = 0;
    for (const size of this.sizes) {
      if (size > most) most = size;
      else if (Number.isNaN(size)) most = Infinity;
    }
    return (this.knownRootMost = most);
  }

  /** Where all volts of the load lie; where it has none counts as 0 V. */
  get rootBox(): Box {
    const [reLo, reHi, imLo, imHi] = this.rootOutline;
    return { reLo: reLo!, reHi: reHi!, imLo: imLo!, imHi: imHi! };
  }

  /**
   * Where the volts at or below each place lie, in rows of eight from eight times `placeOf` on: least and most of re, of im, of re + im and of
   * re - im. The latter cut the corners off the box that the first four make.
   */
  get outlines(): Float64Array {
    return (this.knownOutlines ??= this.allOutlines());
  }

  /** The same for all of the tree, found without its parts. */
  get rootOutline(): Float64Array {
    return (this.knownRoot ??= this.outlineOfEnds());
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
    const { yesPlaces, noPlaces } = this.shape;
    const parts = yesPlaces.length;
    const mosts = new Float64Array(parts + size.length);
    for (let end = 0; end < size.length; end++) mosts[parts + end] = Number.isNaN(size[end]!) ? Infinity : size[end]!;
    for (let part = 0; part < parts; part++) {
      const first = mosts[yesPlaces[part]!]!;
      const second = mosts[noPlaces[part]!]!;
      mosts[part] = Math.max(first, second);
    }
    return mosts;
  }

  private allOutlines(): Float64Array {
    const { re, im } = this;
    const { yesPlaces, noPlaces } = this.shape;
    const parts = yesPlaces.length;
    const outlines = new Float64Array(8 * (parts + re.length));
    for (let end = 0; end < re.length; end++) {
      const x = re[end]!;
      const y = im[end]!;
      let at = 8 * (parts + end);
      if (Number.isNaN(x)) {
        for (let k = 0; k < 4; k++) {
          outlines[at++] = -Infinity;
          outlines[at++] = Infinity;
        }
        continue;
      }
      outlines[at] = outlines[at + 1] = x;
      outlines[at + 2] = outlines[at + 3] = y;
      outlines[at + 4] = outlines[at + 5] = x + y;
      outlines[at + 6] = outlines[at + 7] = x - y;
    }
    for (let part = 0, at = 0; part < parts; part++) {
      let p = 8 * yesPlaces[part]!;
      let q = 8 * noPlaces[part]!;
      for (let k = 0; k < 4; k++) {
        const low = outlines[p++]!;
        const otherLow = outlines[q++]!;
        const high = outlines[p++]!;
        const otherHigh = outlines[q++]!;
        outlines[at++] = Math.min(low, otherLow);
        outlines[at++] = Math.max(high, otherHigh);
      }
    }
    return outlines;
  }

  private outlineOfEnds(): Float64Array {
    const { re, im } = this;
    const outline = new Float64Array(8);
    for (let k = 0; k < 8; k += 2) [outline[k], outline[k + 1]] = [Infinity, -Infinity];
    for (let end = 0; end < re.length; end++) {
      const x = re[end]!;
      const y = im[end]!;
      if (Number.isNaN(x)) {
        for (let k = 0; k < 8; k += 2) [outline[k], outline[k + 1]] = [-Infinity, Infinity];
        return outline;
      }
      const take = (k: number, value: number): void => {
        if (value < outline[k]!) outline[k] = value;
        if (value > outline[k + 1]!) outline[k + 1] = value;
      };
      take(0, x);
      take(2, y);
      take(4, x + y);
      take(6, x - y);
    }
    return outline;
  }
}
