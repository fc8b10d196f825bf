/** Disjoint sets over 0..size-1 with path halving; the smaller number stays the root, so that roots follow text order. */
export class DisjointSets {
  readonly parent: Int32Array;

  constructor(size: number) {
    this.parent = new Int32Array(size);
    this.reset(size);
  }

  /** Makes every one of the first `size` members a set of its own. */
  reset(size: number): void {
    for (let i = 0; i < size; i++) this.parent[i] = i;
  }

  find(member: number): number {
    const parent = this.parent;
    while (parent[member] !== member) {
      parent[member] = parent[parent[member]!]!;
      member = parent[member]!;
    }
    return member;
  }

  /** Joins the sets of `a` and `b`; false when they were one already. */
  join(a: number, b: number): boolean {
    a = this.find(a);
    b = this.find(b);
    if (a === b) return false;
    if (a < b) this.parent[b] = a;
    else this.parent[a] = b;
    return true;
  }
}
