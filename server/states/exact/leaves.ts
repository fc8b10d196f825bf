/**
 * Islands with nothing left open, kept by content: where each element is. Their volts are worked out for the ohms of the analysis
 * that asks, and again only when one of their elements has other ohms than last time.
 */
import { type Decision, FIRST_END } from "./decisions.ts";
import type { Elements } from "./elements.ts";
import { type Legs, solveIsland } from "./island-solution.ts";
import { STRIDE } from "./reduce.ts";
import type { LoadTypes, Values } from "./values.ts";

interface Leaf {
  readonly edges: Int32Array;
  readonly joints: number;
  readonly owners: number;
  readonly first: number;
  /** What the values were worked out with: legs, then the type of each edge. */
  solvedWith?: Int32Array;
}

export class LeafStore {
  private readonly leaves: Leaf[] = [];
  private readonly leafOf: number[] = [];
  /** Value of each owner of each leaf, in a row; -1 for none. */
  private readonly found: number[] = [];

  /** Enters an island; the ends that stand for its owners are the one returned, the one below, and so on. */
  add(edges: readonly number[], joints: number, owners: number): Decision {
    const first = this.leafOf.length;
    for (let owner = 0; owner < owners; owner++) this.leafOf.push(this.leaves.length);
    this.leaves.push({ edges: Int32Array.from(edges), joints, owners, first });
    return FIRST_END - first;
  }

  /** Value that an end has, with the elements' types as they are now; -1: no volts. */
  valueAt(
    end: Decision,
    { typeOf }: Elements,
    legs: Legs & { readonly key: number },
    types: LoadTypes,
    values: Values,
  ): number {
    const at = FIRST_END - end;
    const leaf = this.leaves[this.leafOf[at]!]!;
    const { edges, solvedWith } = leaf;
    const count = edges.length / STRIDE;
    let same = solvedWith !== undefined && solvedWith[count] === legs.key;
    for (let i = 0; i < count && same; i++) same = solvedWith![i] === typeOf[elementAt(edges, i * STRIDE)];
    if (!same) {
      const solved = solveIsland(edges, leaf.joints, leaf.owners, legs, types, typeOf, values);
      for (let owner = 0; owner < leaf.owners; owner++) this.found[leaf.first + owner] = solved[owner]!;
      const withTypes = new Int32Array(count + 1);
      for (let i = 0; i < count; i++) withTypes[i] = typeOf[elementAt(edges, i * STRIDE)]!;
      withTypes[count] = legs.key;
      leaf.solvedWith = withTypes;
    }
    return this.found[at]!;
  }
}

/** The element of an edge of a leaf: loads and resistances by number, windings by number and side. */
function elementAt(edges: ArrayLike<number>, e: number): number {
  return edges[e + 4] === -1 ? edges[e + 3]! >> 1 : edges[e + 3]!;
}
