/**
 * Islands with nothing left open, kept by content: where each element is. Their volts are worked out for the ohms of the analysis
 * that asks, and again only when one of their elements has other ohms than last time. An end of a decision stands for the volts of
 * one edge of an island, or of one of its joints.
 */
import { type Decision, FIRST_END, OPEN } from "./decisions.ts";
import type { Elements } from "./elements.ts";
import { IntTable } from "./int-table.ts";
import { type Legs, solveIsland } from "./island-solution.ts";
import { STRIDE } from "./reduce.ts";
import { isSameNumber } from "./same-number.ts";
import type { LoadTypes } from "./values.ts";

const NOTHING = new Int32Array(0);

interface Leaf {
  readonly edges: Int32Array;
  /** The element of each edge. */
  readonly elements: Int32Array;
  /** Legs among them. */
  readonly joints: number;
  /** Where the volts of its edges stand, then those of its joints that are no legs. */
  readonly first: number;
  /** One after the last of them. */
  readonly last: number;
  /** What the values were worked out with: the type of each edge, then legs. */
  readonly solvedWith: Int32Array;
}

export class LeafStore {
  private readonly table = new IntTable();
  private readonly leaves: Leaf[] = [];
  /** Leaf of each place in `re` and `im`. */
  private readonly leafOf: number[] = [];
  /** By leaf: the last round in which what it was worked out with was seen to be as it is. */
  private readonly rounds: number[] = [];
  /** By leaf: which change of any leaf's volts the last one of its own was. */
  private readonly changedAt: number[] = [];
  /** Volts of each edge and joint of each leaf, in a row; NaN: not told. Read them at what `phasorOf` says. */
  re = new Float64Array(256);
  im = new Float64Array(256);
  /** What was asked about last: as long as it is the same, nothing solved has to be looked at again. */
  private elements: Elements | undefined;
  private legs = -1;
  private round = 0;
  private found = new Int32Array(256);
  /** How many times volts of some leaf changed. */
  changes = 0;

  /**
   * Enters an island, whoever owns its edges. The end that is returned stands for its first edge, the one below for the next, and so on,
   * then for its joints from the first that is no leg. An island without edges: for its legs.
   */
  add(edges: readonly number[], joints: number, legs: number): Decision {
    const content = [joints, legs];
    for (let e = 0; e < edges.length; e += STRIDE)
      content.push(edges[e]!, edges[e + 1]!, edges[e + 2]!, edges[e + 3]!, edges[e + 4]!);
    const found = this.table.intern(content, 0, content.length);
    if (found >= 0) return FIRST_END - this.leaves[found]!.first;
    const first = this.leafOf.length;
    const count = edges.length === 0 ? legs : edges.length / STRIDE + joints - legs;
    for (let k = 0; k < count; k++) this.leafOf.push(this.leaves.length);
    const solvedWith = new Int32Array(edges.length / STRIDE + 1).fill(-1);
    const elements = new Int32Array(edges.length / STRIDE);
    for (let i = 0; i < elements.length; i++) elements[i] = elementAt(edges, i * STRIDE);
    this.leaves.push({ edges: Int32Array.from(edges), elements, joints, first, last: first + count, solvedWith });
    this.rounds.push(-1);
    this.changedAt.push(0);
    return FIRST_END - first;
  }

  /** Writes the volts at all ends to `re` and `im`: 0 V where there are none, NaN where the budget left them open. */
  read(
    ends: readonly Decision[],
    elements: Elements,
    legs: Legs & { readonly key: number },
    types: LoadTypes,
    re: number[],
    im: number[],
  ): void {
    this.begin(elements, legs);
    const { leafOf, rounds, round } = this;
    for (let end = 0; end < ends.length; end++) {
      const decision = ends[end]!;
      if (decision > FIRST_END) {
        re[end] = im[end] = decision === OPEN ? Number.NaN : 0;
        continue;
      }
      const at = FIRST_END - decision;
      const leaf = leafOf[at]!;
      if (rounds[leaf] !== round) this.solve(leaf, elements.typeOf, legs, types);
      re[end] = this.re[at]!;
      im[end] = this.im[at]!;
    }
  }

  /**
   * The ends whose volts may be others than when `changes` was `since`, in their order; all others have the volts that they had.
   */
  changedSince(
    since: number,
    ends: readonly Decision[],
    elements: Elements,
    legs: Legs & { readonly key: number },
    types: LoadTypes,
  ): Int32Array {
    this.begin(elements, legs);
    const { leafOf, rounds, changedAt, round } = this;
    if (this.found.length < ends.length) this.found = new Int32Array(2 * ends.length);
    const { found } = this;
    let count = 0;
    for (let end = 0; end < ends.length; end++) {
      const decision = ends[end]!;
      if (decision > FIRST_END) continue;
      const leaf = leafOf[FIRST_END - decision]!;
      if (rounds[leaf] !== round) this.solve(leaf, elements.typeOf, legs, types);
      if (changedAt[leaf]! > since) found[count++] = end;
    }
    return count === 0 ? NOTHING : found.slice(0, count);
  }

  /** Writes the volts at these ends, which `changedSince` told, and how large they are. */
  reread(which: Int32Array, ends: readonly Decision[], re: number[], im: number[], sizes: number[]): void {
    const { re: allRe, im: allIm } = this;
    for (let k = 0; k < which.length; k++) {
      const end = which[k]!;
      const at = FIRST_END - ends[end]!;
      const x = allRe[at]!;
      const y = allIm[at]!;
      re[end] = x;
      im[end] = y;
      sizes[end] = Math.sqrt(x * x + y * y);
    }
  }

  /** Where in `re` and `im` the volts at an end stand, with the elements' types as they are now. 0 V: none. */
  phasorOf(end: Decision, elements: Elements, legs: Legs & { readonly key: number }, types: LoadTypes): number {
    this.begin(elements, legs);
    const at = FIRST_END - end;
    const leaf = this.leafOf[at]!;
    if (this.rounds[leaf] !== this.round) this.solve(leaf, elements.typeOf, legs, types);
    return at;
  }

  /** A new round where something else is asked about than last time. */
  private begin(elements: Elements, legs: { readonly key: number }): void {
    if (elements === this.elements && legs.key === this.legs) return;
    this.elements = elements;
    this.legs = legs.key;
    this.round++;
  }

  private solve(
    number: number,
    typeOf: readonly number[],
    legs: Legs & { readonly key: number },
    types: LoadTypes,
  ): void {
    const { edges, elements, joints, first, last, solvedWith } = this.leaves[number]!;
    this.rounds[number] = this.round;
    const count = elements.length;
    let same = solvedWith[count] === legs.key;
    for (let i = 0; i < count; i++) {
      const type = typeOf[elements[i]!]!;
      if (solvedWith[i] === type) continue;
      same = false;
      solvedWith[i] = type;
    }
    solvedWith[count] = legs.key;
    if (same) return;
    if (this.re.length < this.leafOf.length) {
      this.re = longer(this.re, this.leafOf.length);
      this.im = longer(this.im, this.leafOf.length);
    }
    const { re, im } = this;
    const known = this.changedAt[number]! > 0;
    if (known) keepBefore(re, im, first, last);
    if (count > 0) solveIsland(edges, joints, legs, types, typeOf, re, im, first);
    else {
      re.set(legs.re, first);
      im.set(legs.im, first);
    }
    // Straight between two legs a load has their volts, whatever its ohms.
    if (!known || !isAsBefore(re, im, first, last)) this.changedAt[number] = ++this.changes;
  }
}

/** Volts of a leaf before it is solved again, re and im by turns. */
let before = new Float64Array(64);

function keepBefore(re: Float64Array, im: Float64Array, first: number, last: number): void {
  if (before.length < 2 * (last - first)) before = new Float64Array(4 * (last - first));
  for (let at = first, k = 0; at < last; at++) {
    before[k++] = re[at]!;
    before[k++] = im[at]!;
  }
}

/** True when they are the same to the last bit. */
function isAsBefore(re: Float64Array, im: Float64Array, first: number, last: number): boolean {
  for (let at = first, k = 0; at < last; at++)
    if (!isSameNumber(before[k++]!, re[at]!) || !isSameNumber(before[k++]!, im[at]!)) return false;
  return true;
}

function longer(old: Float64Array, least: number): Float64Array<ArrayBuffer> {
  const grown = new Float64Array(Math.max(least, 2 * old.length));
  grown.set(old);
  return grown;
}

/** The element of an edge of a leaf: loads and resistances by number, windings by number and side. */
function elementAt(edges: ArrayLike<number>, e: number): number {
  return edges[e + 4] === -1 ? edges[e + 3]! >> 1 : edges[e + 3]!;
}
