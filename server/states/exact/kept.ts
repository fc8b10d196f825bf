/**
 * Things worked out, found again by the content of all that they depend on: short series of integers. Only so many are kept: what was
 * not asked for since the last so many is forgotten.
 */
import { IntTable } from "./int-table.ts";

class Generation<V> {
  readonly keys = new IntTable();
  readonly values: (V | undefined)[] = [];
  readonly weights: number[] = [];
  weight = 0;
}

export class Kept<V> {
  private readonly most: number;
  private young = new Generation<V>();
  private old = new Generation<V>();

  /** @param most what the things kept may weigh in all, about */
  constructor(most: number) {
    this.most = most / 2;
  }

  /** What is kept for the key, worked out when nothing is. `weigh`: left out, each weighs 1. */
  of(key: ArrayLike<number>, make: () => V, weigh?: (value: V) => number): V {
    const known = this.find(key);
    if (known !== undefined) return known;
    // The key may be used for other questions meanwhile.
    const own = Array.from(key);
    const value = make();
    this.keep(own, value, weigh?.(value));
    return value;
  }

  find(key: ArrayLike<number>): V | undefined {
    const { young, old } = this;
    const at = young.keys.find(key);
    if (at >= 0 && young.values[at] !== undefined) return young.values[at];
    const before = old.keys.find(key);
    const value = before >= 0 ? old.values[before] : undefined;
    if (value !== undefined) this.keep(key, value, old.weights[before]);
    return value;
  }

  keep(key: ArrayLike<number>, value: V, weight = 1): void {
    if (this.young.weight >= this.most) {
      this.old = this.young;
      this.young = new Generation();
    }
    const { young } = this;
    const found = young.keys.intern(key, 0, key.length);
    const at = found >= 0 ? found : -1 - found;
    young.values[at] = value;
    young.weight += weight - (young.weights[at] ?? 0);
    young.weights[at] = weight;
  }
}
