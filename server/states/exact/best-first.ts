/**
 * Goes down the trees of several loads together, always where the sum may be largest (or smallest): what comes first at single volts of all
 * the loads is the answer. A test that several trees make is made once, so that loads that depend on each other are never thought to
 * be at their largest in different states. Wherever ways lead to the same places in all trees, they go on as one.
 */
import { type Box, ORIGIN, times, turned } from "./boxes.ts";
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";
import type { Turned } from "./options.ts";
import { type Effort, isNotLarger, isNotSmaller, keep, type Range, type Where } from "./range.ts";

/** Works out the values in states in which some volts are not told, and extends the range by them. No value there is above `bound`. */
export type ByLook = (where: Where, range: Range, bound: number) => void;

/** What is looked for: the largest (`up`) or smallest, and what was found. */
export interface Aim {
  readonly up: boolean;
  readonly range: Range;
  readonly byLook: ByLook;
}

/** In the states of `where` that are in `allowed` the sum is a phasor and the volts of some loads, each turned. */
export interface Start {
  readonly where: Where;
  /** Kept apart from `where`, which is large, so that what is built at each step is small. */
  readonly allowed: StateSet;
  readonly re: number;
  readonly im: number;
  readonly adds: readonly Turned[];
}

/** A place in all trees of a start. */
interface Place {
  readonly start: number;
  readonly at: readonly number[];
  /** No value from here is beyond it. */
  readonly bound: number;
  /** The deeper the lower. */
  readonly rank: number;
  allowed: StateSet;
}

/** True when nothing up to (or down to) the bound extends the range. */
export function doesNotExtend({ up, range }: Aim, bound: number): boolean {
  return up ? isNotLarger(range, bound) : isNotSmaller(range, bound);
}

/** No sum of the phasor and the loads at these places (left out: at all) is beyond it. */
export function boundOf(
  up: boolean,
  { re, im, adds }: Pick<Start, "re" | "im" | "adds">,
  at?: readonly number[],
  more: Box = ORIGIN,
  size = 0,
): number {
  let { reLo, reHi, imLo, imHi } = more;
  let most = Math.sqrt(re * re + im * im) + size;
  for (let k = 0; k < adds.length; k++) {
    const { volts, yRe, yIm } = adds[k]!;
    const place = at === undefined ? volts.shape.root : at[k]!;
    most += volts.most(place) * Math.sqrt(yRe * yRe + yIm * yIm);
    const { boxes } = volts;
    const i = 4 * volts.placeOf(place);
    if (yIm === 0) {
      reLo += yRe >= 0 ? times(boxes[i]!, yRe) : times(boxes[i + 1]!, yRe);
      reHi += yRe >= 0 ? times(boxes[i + 1]!, yRe) : times(boxes[i]!, yRe);
      imLo += yRe >= 0 ? times(boxes[i + 2]!, yRe) : times(boxes[i + 3]!, yRe);
      imHi += yRe >= 0 ? times(boxes[i + 3]!, yRe) : times(boxes[i + 2]!, yRe);
    } else {
      const box = turned(volts.box(place), yRe, yIm);
      reLo += box.reLo;
      reHi += box.reHi;
      imLo += box.imLo;
      imHi += box.imHi;
    }
  }
  const x = up ? Math.max(Math.abs(re + reLo), Math.abs(re + reHi)) : Math.max(0, re + reLo, -(re + reHi));
  const y = up ? Math.max(Math.abs(im + imLo), Math.abs(im + imHi)) : Math.max(0, im + imLo, -(im + imHi));
  const edge = Math.sqrt(x * x + y * y);
  return up ? Math.min(most, edge) : edge;
}

export class BestFirst {
  private readonly diagrams: Diagrams;
  private readonly effort: Effort;
  private readonly aim: Aim;
  private readonly starts: Start[] = [];
  /** Places that wait, by start. */
  private readonly waiting: (Map<number | string, Place> | undefined)[] = [];
  /** The same as a heap, the one most worth while on top. */
  private readonly heap: Place[] = [];

  constructor(diagrams: Diagrams, effort: Effort, aim: Aim) {
    this.diagrams = diagrams;
    this.effort = effort;
    this.aim = aim;
  }

  add(start: Start): void {
    const { allowed, adds } = start;
    const bound = boundOf(this.aim.up, start);
    if (doesNotExtend(this.aim, bound)) return;
    const at = adds.map(({ volts }) => volts.shape.root);
    this.starts.push(start);
    const place: Place = { start: this.starts.length - 1, at, bound, rank: 0, allowed };
    if (!at.every((one) => one < 0)) this.push(place.start, at, allowed);
    else if (this.diagrams.meets(start.where.set, allowed)) this.end(place);
  }

  /** Extends the range by what the starts hold, until nothing is left or the effort is spent. */
  run(): void {
    const { aim, diagrams, effort } = this;
    const { up, range } = aim;
    for (let place = this.pop(); place !== undefined; place = this.pop()) {
      if (doesNotExtend(aim, place.bound)) return;
      const { where, adds } = this.starts[place.start]!;
      if (effort.visits-- <= 0) {
        if (up) range.cutAbove = Math.max(range.cutAbove, place.bound);
        else range.cutBelow = Math.min(range.cutBelow, place.bound);
        return;
      }
      if (!diagrams.meets(where.set, place.allowed)) continue;
      const widest = this.widest(place, adds);
      if (widest < 0) {
        this.end(place);
        continue;
      }
      const test = adds[widest]!.volts.testAt(place.at[widest]!);
      this.push(place.start, moved(place, adds, test, true), diagrams.and(place.allowed, test));
      this.push(place.start, moved(place, adds, test, false), diagrams.minus(place.allowed, test));
    }
  }

  private push(start: number, at: readonly number[], allowed: StateSet): void {
    if (allowed === EMPTY) return;
    const waiting = (this.waiting[start] ??= new Map());
    const key = at.length === 1 ? at[0]! : at.join(" ");
    const known = waiting.get(key);
    if (known !== undefined) {
      known.allowed = this.diagrams.or(known.allowed, allowed);
      return;
    }
    const bound = boundOf(this.aim.up, this.starts[start]!, at);
    if (doesNotExtend(this.aim, bound)) return;
    let rank = 0;
    for (const one of at) rank += Math.max(one, -1);
    const place: Place = { start, at, bound, rank, allowed };
    waiting.set(key, place);
    const { heap } = this;
    let i = heap.push(place) - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (!this.isBefore(place, heap[parent]!)) break;
      heap[i] = heap[parent]!;
      i = parent;
    }
    heap[i] = place;
  }

  private pop(): Place | undefined {
    const { heap } = this;
    const top = heap[0];
    const last = heap.pop();
    if (top === undefined || last === undefined) return undefined;
    this.waiting[top.start]?.delete(top.at.length === 1 ? top.at[0]! : top.at.join(" "));
    if (heap.length === 0) return top;
    let i = 0;
    for (;;) {
      let child = 2 * i + 1;
      if (child >= heap.length) break;
      if (child + 1 < heap.length && this.isBefore(heap[child + 1]!, heap[child]!)) child++;
      if (!this.isBefore(heap[child]!, last)) break;
      heap[i] = heap[child]!;
      i = child;
    }
    heap[i] = last;
    return top;
  }

  private isBefore(a: Place, b: Place): boolean {
    if (a.bound !== b.bound) return this.aim.up ? a.bound > b.bound : a.bound < b.bound;
    // Of equal ones the deepest: it shows soonest whether the bound is reached.
    return a.rank < b.rank;
  }

  /** The tree in which most is open; -1 when none is. */
  private widest({ at }: Place, adds: readonly Turned[]): number {
    let found = -1;
    let width = -1;
    for (let k = 0; k < adds.length; k++) {
      if (at[k]! < 0) continue;
      const { reLo, reHi, imLo, imHi } = adds[k]!.volts.box(at[k]!);
      const wide = (reHi - reLo + imHi - imLo) * (Math.abs(adds[k]!.yRe) + Math.abs(adds[k]!.yIm));
      if (found >= 0 && !(wide > width)) continue;
      found = k;
      width = wide;
    }
    return found;
  }

  private end({ start, at, allowed, bound }: Place): void {
    const { where, adds, ...sum } = this.starts[start]!;
    let { re, im } = sum;
    let told = true;
    adds.forEach(({ volts, yRe, yIm }, k) => {
      const phasor = volts.phasorAt(at[k]!);
      if (phasor === undefined) {
        told = false;
        return;
      }
      re += phasor.re * yRe - phasor.im * yIm;
      im += phasor.re * yIm + phasor.im * yRe;
    });
    const found: Where = { set: this.diagrams.and(where.set, allowed), before: where.before };
    if (told) keep(this.aim.range, Math.hypot(re, im), found);
    else this.aim.byLook(found, this.aim.range, this.aim.up ? bound : Infinity);
  }
}

/** Places after a test, in every tree that makes it here. */
function moved({ at }: Place, adds: readonly Turned[], test: StateSet, yes: boolean): number[] {
  const after: number[] = new Array(at.length);
  for (let k = 0; k < at.length; k++) {
    const here = at[k]!;
    const { volts } = adds[k]!;
    after[k] = here < 0 || volts.testAt(here) !== test ? here : (yes ? volts.shape.yes : volts.shape.no)[here]!;
  }
  return after;
}
