/** What is kept as long as neither the structure of a machine nor its sets of states change: amounts of loads and places in the text may. */
import { type Structure, structureOf } from "../machine/structure.ts";
import type { Engine } from "../states/engine.ts";

interface Kept<T> {
  readonly of: object;
  readonly numbers: readonly number[];
  readonly value: T;
}

export class BySets<T> {
  /** By structure; of each what belongs to the sets that it had last. */
  private readonly known = new WeakMap<Structure, Kept<T>>();
  private readonly make: () => T;

  constructor(make: () => T) {
    this.make = make;
  }

  /** Undefined where nothing can be kept. `structure`: that of the engine's machine, where another object stands for it. */
  of(engine: Engine, structure: Structure = structureOf(engine.circuit.machine)): T | undefined {
    const sets = engine.setNumbers?.();
    if (sets === undefined) return undefined;
    let kept = this.known.get(structure);
    if (kept?.of !== sets.of || !same(kept.numbers, sets.numbers))
      this.known.set(structure, (kept = { ...sets, value: this.make() }));
    return kept.value;
  }
}

function same(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((number, index) => number === b[index]);
}
