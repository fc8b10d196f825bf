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
import type { LoadTypes } from "./values.ts";

interface Leaf {
  readonly edges: Int32Array;
  /** Legs among them. */
  readonly joints: number;
  /** Where the volts of its edges stand, then those of its joints that are no legs. */
  readonly first: number;
  /** What the values were worked out with: the type of each edge, then legs. */
  readonly solvedWith: Int32Array;
  /** The last round in which that was seen to be as it is. */
  round: number;
}

export class LeafStore {
  private readonly table = new IntTable();
  private readonly leaves: Leaf[] = [];
  private readonly leafOf: number[] = [];
  /** Volts of each edge and joint of each leaf, in a row; NaN: not told. Read them at what `phasorOf` says. */
  re = new Float64Array(256);
  im = new Float64Array(256);
  /** What was asked about last: as long as it is the same, nothing solved has to be looked at again. */
  private elements: Elements | undefined;
  private legs = -1;
  private round = 0;

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
    this.leaves.push({ edges: Int32Array.from(edges), joints, first, solvedWith, round: -1 });
    return FIRST_END - first;
  }

  /** Writes the volts at all ends to `re` and `im`: 0 V where there are none, NaN where the budget left them open. */
  read(
    ends: readonly Decision[],
    elements: Elements,
    legs: Legs & { readonly key: number },
    types: LoadTypes,
    re: Float64Array,
    im: Float64Array,
  ): void {
    this.begin(elements, legs);
    const { leafOf, leaves, round } = this;
    for (let end = 0; end < ends.length; end++) {
      const decision = ends[end]!;
      if (decision > FIRST_END) {
        re[end] = im[end] = decision === OPEN ? Number.NaN : 0;
        continue;
      }
      const at = FIRST_END - decision;
      const leaf = leaves[leafOf[at]!]!;
      if (leaf.round !== round) this.solve(leaf, elements.typeOf, legs, types);
      re[end] = this.re[at]!;
      im[end] = this.im[at]!;
    }
  }

  /** Where in `re` and `im` the volts at an end stand, with the elements' types as they are now. 0 V: none. */
  phasorOf(end: Decision, elements: Elements, legs: Legs & { readonly key: number }, types: LoadTypes): number {
    this.begin(elements, legs);
    const at = FIRST_END - end;
    const leaf = this.leaves[this.leafOf[at]!]!;
    if (leaf.round !== this.round) this.solve(leaf, elements.typeOf, legs, types);
    return at;
  }

  /** A new round where something else is asked about than last time. */
  private begin(elements: Elements, legs: { readonly key: number }): void {
    if (elements === this.elements && legs.key === this.legs) return;
    this.elements = elements;
    this.legs = legs.key;
    this.round++;
  }

  private solve(leaf: Leaf, typeOf: readonly number[], legs: Legs & { readonly key: number }, types: LoadTypes): void {
    const { edges, solvedWith } = leaf;
    leaf.round = this.round;
    const count = solvedWith.length - 1;
    let same = solvedWith[count] === legs.key;
    for (let i = 0; i < count; i++) {
      const type = typeOf[elementAt(edges, i * STRIDE)]!;
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
    if (count > 0) solveIsland(edges, leaf.joints, legs, types, typeOf, this.re, this.im, leaf.first);
    else {
      this.re.set(legs.re, leaf.first);
      this.im.set(legs.im, leaf.first);
    }
  }
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
