/**
 * Goes down the trees of several loads together, always where the sum may be largest (or smallest): what comes first at single volts of all
 * the loads is the answer. A test that several trees make is made once, so that loads that depend on each other are never thought to
 * be at their largest in different states. Wherever ways lead to the same places in all trees, they go on as one.
 *
 * How the states are shared out over places depends on sets alone. It is kept with the start, and the next search for it, in which
 * loads have other volts, goes on from there: mostly it only has to compare numbers.
 */
import { turned } from "./boxes.ts";
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";
import type { Turned } from "./options.ts";
import { SLICE_END } from "./pieces.ts";
import { type Effort, isNotLarger, isNotSmaller, keep, type Range, type Where } from "./range.ts";

/** Works out the values in states in which some volts are not told, and extends the range by them. No value there is above `bound`. */
export type ByLook = (where: Where, range: Range, bound: number) => void;

/** What is looked for: the largest (`up`) or smallest, and what was found. */
export interface Aim {
  readonly up: boolean;
  readonly range: Range;
  readonly byLook: ByLook;
}

/** The states of a start shared out over places, from its searches up and down. */
export interface KeptPlaces {
  up?: Places;
  down?: Places;
}

interface Places {
  /** For each place: where it is in each tree, its states, and 1 when it is an end that has states. */
  readonly rows: Int32Array;
  /** True when the effort was spent before the answer was there. */
  readonly isCut: boolean;
}

/** In the states of `where` that are in `allowed` the sum is a phasor and the volts of some loads, each turned. */
export interface Start {
  readonly where: Where;
  /** Kept apart from `where`, which is large, so that what is built at each step is small. */
  readonly allowed: StateSet;
  readonly re: number;
  readonly im: number;
  readonly adds: readonly Turned[];
  readonly kept: KeptPlaces;
}

/** A place in all trees of a start. */
interface Place {
  readonly start: Running;
  readonly at: readonly number[];
  /** No value from here is beyond it. */
  readonly bound: number;
  /** The deeper the lower. */
  readonly rank: number;
  allowed: StateSet;
}

/** A start in a search. */
interface Running {
  readonly of: Start;
  /** Places that wait, by where they are. */
  readonly waiting: Map<number | string, Place>;
  /** Rows of the places that do not extend the range, and of ends. */
  readonly parked: number[];
}

/** More kept places of a start than this are forgotten. */
const MOST_PLACES = 4000;

/** True when nothing up to (or down to) the bound extends the range. */
export function doesNotExtend({ up, range }: Aim, bound: number): boolean {
  return up ? isNotLarger(range, bound) : isNotSmaller(range, bound);
}

/** No phasor in the box, nor (up) any of at most that magnitude, is beyond it. */
export function edgeOf(up: boolean, reLo: number, reHi: number, imLo: number, imHi: number, most: number): number {
  const x = up ? Math.max(Math.abs(reLo), Math.abs(reHi)) : Math.max(0, reLo, -reHi);
  const y = up ? Math.max(Math.abs(imLo), Math.abs(imHi)) : Math.max(0, imLo, -imHi);
  const edge = Math.sqrt(x * x + y * y);
  return up ? Math.min(most, edge) : edge;
}

/** No sum of the phasor and the loads at the places `at[from]`, ... (left out: at all) is beyond it. */
export function boundOf(
  up: boolean,
  { re, im, adds }: Pick<Start, "re" | "im" | "adds">,
  at?: ArrayLike<number>,
  from = 0,
): number {
  if (up && adds.length === 1 && re === 0 && im === 0) {
    const { volts, yRe, yIm } = adds[0]!;
    const size = at === undefined ? volts.rootMost : volts.most(at[from]!);
    return size * Math.sqrt(yRe * yRe + yIm * yIm);
  }
  let reLo = re;
  let reHi = re;
  let imLo = im;
  let imHi = im;
  // Sum and difference of real and imaginary part.
  let sumLo = re + im;
  let sumHi = sumLo;
  let lessLo = re - im;
  let lessHi = lessLo;
  let most = re === 0 && im === 0 ? 0 : Math.sqrt(re * re + im * im);
  for (let k = 0; k < adds.length; k++) {
    const { volts, yRe, yIm } = adds[k]!;
    const place = at === undefined ? 0 : volts.placeOf(at[from + k]!);
    const size = at === undefined ? volts.rootMost : volts.mosts[place]!;
    most += size * (yIm === 0 ? Math.abs(yRe) : Math.sqrt(yRe * yRe + yIm * yIm));
    const lines = at === undefined ? volts.rootOutline : volts.outlines;
    const i = 8 * place;
    if (yIm === 0 && lines[i]! > -Infinity) {
      // A number without an imaginary part turns nothing: mostly so.
      const lo = yRe >= 0 ? i : i + 1;
      const hi = yRe >= 0 ? i + 1 : i;
      reLo += lines[lo]! * yRe;
      reHi += lines[hi]! * yRe;
      imLo += lines[lo + 2]! * yRe;
      imHi += lines[hi + 2]! * yRe;
      sumLo += lines[lo + 4]! * yRe;
      sumHi += lines[hi + 4]! * yRe;
      lessLo += lines[lo + 6]! * yRe;
      lessHi += lines[hi + 6]! * yRe;
    } else {
      const box = turned({ reLo: lines[i]!, reHi: lines[i + 1]!, imLo: lines[i + 2]!, imHi: lines[i + 3]! }, yRe, yIm);
      reLo += box.reLo;
      reHi += box.reHi;
      imLo += box.imLo;
      imHi += box.imHi;
      sumLo += box.reLo + box.imLo;
      sumHi += box.reHi + box.imHi;
      lessLo += box.reLo - box.imHi;
      lessHi += box.reHi - box.imLo;
    }
  }
  if (!up) {
    const edge = edgeOf(false, reLo, reHi, imLo, imHi, most);
    return Math.max(edge, Math.max(sumLo, -sumHi, lessLo, -lessHi) * Math.SQRT1_2);
  }
  const edge = Math.sqrt(
    Math.max(
      farthest(reHi, imHi, sumHi),
      farthest(-reLo, -imLo, -sumLo),
      farthest(reHi, -imLo, lessHi),
      farthest(-reLo, imHi, -lessLo),
    ),
  );
  return Math.min(most, edge);
}

/** Square of the distance of what is farthest of a corner with the line x + y = `cut` across it. */
function farthest(x: number, y: number, cut: number): number {
  if (!(cut < x + y)) return x * x + y * y;
  return Math.max(x * x + (cut - x) * (cut - x), y * y + (cut - y) * (cut - y));
}

/** True for two trees of which one is taken from the other, at places from which they go on alike: nothing is left of both. */
function cancels({ adds }: Pick<Start, "adds">, at: ArrayLike<number>, from = 0): boolean {
  if (adds.length !== 2) return false;
  const [a, b] = [adds[0]!, adds[1]!];
  if (a.yRe !== -b.yRe || a.yIm !== 0 || b.yIm !== 0) return false;
  if (a.volts.decisionAt(at[from]!) !== b.volts.decisionAt(at[from + 1]!)) return false;
  // What the budget left open looks alike and may differ.
  return a.volts.most(at[from]!) < Infinity;
}

export class BestFirst {
  private readonly diagrams: Diagrams;
  private readonly effort: Effort;
  private readonly aim: Aim;
  private readonly most: number;
  private readonly starts: Running[] = [];
  /** Places that wait as a heap, the one most worth while on top. */
  private readonly heap: Place[] = [];
  private cutBefore = false;

  /** @param most no value of the starts is larger */
  constructor(diagrams: Diagrams, effort: Effort, aim: Aim, most = Infinity) {
    this.diagrams = diagrams;
    this.effort = effort;
    this.aim = aim;
    this.most = most;
  }

  /** No value of the start at these places (left out: at all) is beyond it. */
  private boundOf(start: Start, at?: ArrayLike<number>, from?: number): number {
    if (at !== undefined && cancels(start, at, from)) return Math.hypot(start.re, start.im);
    const bound = boundOf(this.aim.up, start, at, from);
    return this.aim.up && bound > this.most ? this.most : bound;
  }

  add(start: Start): void {
    const { aim } = this;
    const whole = this.boundOf(start);
    if (doesNotExtend(aim, whole)) return;
    const kept = aim.up ? start.kept.up : start.kept.down;
    if (kept === undefined) {
      const running = this.begin(start);
      const roots = start.adds.map(({ volts }) => volts.shape.root);
      this.push(running, roots, start.allowed);
      return;
    }
    const { rows } = kept;
    const stride = start.adds.length + 2;
    // First what is known to occur: most of the rest does not reach it.
    for (let row = 0; row < rows.length; row += stride)
      if (rows[row + stride - 1] === 1) this.end(start, rows, row, rows[row + stride - 2]!);
    if (doesNotExtend(aim, whole)) return;
    const goesOn = !kept.isCut || (this.effort.again ?? 0) > 0;
    for (let row = 0; row < rows.length; row += stride) {
      if (rows[row + stride - 1] === 1) continue;
      const bound = this.boundOf(start, rows, row);
      if (doesNotExtend(aim, bound)) continue;
      if (!goesOn) {
        cutAt(aim, bound);
        continue;
      }
      if (kept.isCut) this.cutBefore = true;
      this.takeUp(this.begin(start), rows);
      return;
    }
  }

  private begin(of: Start): Running {
    const running: Running = { of, waiting: new Map(), parked: [] };
    this.starts.push(running);
    return running;
  }

  /** Extends the range by what the starts hold, until nothing is left or the effort is spent. Throws `SLICE_END` at the end of a piece. */
  run(): void {
    const end = this.goDown();
    const isCut = end === "cut" || (end === "piece" && this.cutBefore);
    for (const running of this.starts) this.keepPlaces(running, isCut, end === "piece");
    if (end === "piece") throw SLICE_END;
  }

  private goDown(): "done" | "cut" | "piece" {
    const { aim, diagrams, effort } = this;
    for (let place = this.pop(); place !== undefined; place = this.pop()) {
      const { start, at, allowed } = place;
      if (doesNotExtend(aim, place.bound)) {
        park(start, at, allowed, 0);
        return "done";
      }
      if (effort.piece !== undefined && effort.piece-- <= 0) {
        park(start, at, allowed, 0);
        return "piece";
      }
      const { where, adds } = start.of;
      if (effort.visits-- <= 0 || (this.cutBefore && (effort.again ?? 0) <= 0)) {
        cutAt(aim, place.bound);
        park(start, at, allowed, 0);
        return "cut";
      }
      if (this.cutBefore) effort.again!--;
      if (!diagrams.meets(where.set, allowed)) continue;
      const highest = cancels(start.of, at) ? -1 : this.highest(at, adds);
      if (highest < 0) {
        park(start, at, allowed, 1);
        this.end(start.of, at, 0, allowed);
        continue;
      }
      const test = adds[highest]!.volts.testAt(at[highest]!);
      this.push(start, moved(at, adds, test, true), diagrams.and(allowed, test));
      this.push(start, moved(at, adds, test, false), diagrams.minus(allowed, test));
    }
    return "done";
  }

  /** Sorts the kept places of a start into those that wait and those that extend nothing. */
  private takeUp(running: Running, rows: Int32Array): void {
    const { parked, of } = running;
    const many = of.adds.length;
    for (let row = 0; row < rows.length; row += many + 2) {
      if (rows[row + many + 1] === 1 || doesNotExtend(this.aim, this.boundOf(of, rows, row))) {
        for (let i = row; i < row + many + 2; i++) parked.push(rows[i]!);
        continue;
      }
      const at: number[] = [];
      for (let k = 0; k < many; k++) at.push(rows[row + k]!);
      this.push(running, at, rows[row + many]!);
    }
  }

  /** @param all also very many: the search goes on from there */
  private keepPlaces(running: Running, isCut: boolean, all: boolean): void {
    const { parked, waiting, of } = running;
    for (const { at, allowed } of waiting.values()) park(running, at, allowed, 0);
    const fits = all || parked.length <= MOST_PLACES * (of.adds.length + 2);
    const places = fits ? { rows: Int32Array.from(parked), isCut } : undefined;
    if (this.aim.up) of.kept.up = places;
    else of.kept.down = places;
  }

  private push(start: Running, at: readonly number[], allowed: StateSet): void {
    if (allowed === EMPTY) return;
    const { waiting } = start;
    const key = at.length === 1 ? at[0]! : at.join(" ");
    const known = waiting.get(key);
    if (known !== undefined) {
      known.allowed = this.diagrams.or(known.allowed, allowed);
      return;
    }
    const bound = this.boundOf(start.of, at);
    if (doesNotExtend(this.aim, bound)) {
      park(start, at, allowed, 0);
      return;
    }
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
    top.start.waiting.delete(top.at.length === 1 ? top.at[0]! : top.at.join(" "));
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

  /** The tree that is furthest from its ends, so that a test of several trees comes up in all of them at once; -1 when all are at an end. */
  private highest(at: readonly number[], adds: readonly Turned[]): number {
    let found = -1;
    let most = 0;
    for (let k = 0; k < adds.length; k++) {
      if (at[k]! < 0) continue;
      const height = adds[k]!.volts.shape.heights[at[k]!]!;
      if (height <= most) continue;
      found = k;
      most = height;
    }
    return found;
  }

  /** Extends the range by the value at an end, which has states. */
  private end(start: Start, at: ArrayLike<number>, from: number, allowed: StateSet): void {
    const { where, adds } = start;
    const { range, byLook, up } = this.aim;
    let { re, im } = start;
    let told = true;
    for (let k = cancels(start, at, from) ? adds.length : 0; k < adds.length; k++) {
      const { volts, yRe, yIm } = adds[k]!;
      const phasor = volts.phasorAt(at[from + k]!);
      if (phasor === undefined) {
        told = false;
        break;
      }
      re += phasor.re * yRe - phasor.im * yIm;
      im += phasor.re * yIm + phasor.im * yRe;
    }
    const found = (): Where => ({ set: this.diagrams.and(where.set, allowed), before: where.before });
    if (told) {
      const value = Math.hypot(re, im);
      if (value > (range.largest?.value ?? -1) || value < (range.smallest?.value ?? Infinity))
        keep(range, value, found());
      return;
    }
    const bound = this.boundOf(start, at, from);
    byLook(found(), range, up ? bound : Infinity);
  }
}

/** Notes that something up to (or down to) the bound was left out. */
function cutAt({ up, range }: Aim, bound: number): void {
  if (up) range.cutAbove = Math.max(range.cutAbove, bound);
  else range.cutBelow = Math.min(range.cutBelow, bound);
}

function park({ parked }: Running, at: readonly number[], allowed: StateSet, isEnd: 0 | 1): void {
  for (let k = 0; k < at.length; k++) parked.push(at[k]!);
  parked.push(allowed, isEnd);
}

/** Places after a test, in every tree that makes it here. */
function moved(at: readonly number[], adds: readonly Turned[], test: StateSet, yes: boolean): number[] {
  const after: number[] = new Array(at.length);
  for (let k = 0; k < at.length; k++) {
    const here = at[k]!;
    const { volts } = adds[k]!;
    after[k] = here < 0 || volts.testAt(here) !== test ? here : (yes ? volts.shape.yes : volts.shape.no)[here]!;
  }
  return after;
}
