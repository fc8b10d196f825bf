/** Ranges found by searches, as the engine answers with them. */
import type { MachineState } from "../../machine/machine.ts";
import type { Extreme, Extremes } from "../engine.ts";
import type { StateSet } from "./diagram.ts";
import type { LoadWork } from "./load-sets.ts";
import type { Range, Where } from "./range.ts";
import type { StateFinder } from "./state-finder.ts";
import { oneStep, type Pair, type SomeStep } from "./steps.ts";

/**
 * The range as people get it. `step`: where the step is to be found that ends in a state of the set; `leastStep`: the same for the smallest,
 * where that is another.
 */
export function extremesOf(
  { space }: LoadWork,
  range: Range,
  step?: (where: Where) => SomeStep,
  leastStep = step,
): Extremes {
  const told = (found: Range["largest"], by: typeof step) => {
    if (found === undefined) return undefined;
    return by ? new ShownByStep(found.value, space.finder, by(found)) : new Shown(found.value, space.finder, found.set);
  };
  const largest = range.largest?.value ?? -Infinity;
  const smallest = range.smallest?.value ?? Infinity;
  const exact = range.cutAbove <= largest && range.cutBelow >= smallest;
  const found = { smallest: told(range.smallest, leastStep), largest: told(range.largest, step), exact };
  return exact ? found : { ...found, bound: Math.max(largest, range.cutAbove) };
}

// States nearest to rest take a walk over the whole set, and few are ever looked at: they are found when first read. Answers are kept for later
// analyses, so these hold on to sets and the finder alone.

class Shown implements Extreme {
  readonly value: number;
  readonly #finder: StateFinder;
  readonly #set: StateSet;
  #state: MachineState | undefined;

  constructor(value: number, finder: StateFinder, set: StateSet) {
    this.value = value;
    this.#finder = finder;
    this.#set = set;
  }

  get state(): MachineState {
    return (this.#state ??= this.#finder.nearest(this.#set)!);
  }
}

class ShownByStep implements Extreme {
  readonly value: number;
  readonly #finder: StateFinder;
  readonly #step: SomeStep;
  #pair: Pair | undefined;

  constructor(value: number, finder: StateFinder, step: SomeStep) {
    this.value = value;
    this.#finder = finder;
    this.#step = step;
  }

  get state(): MachineState {
    return this.found().state;
  }

  get before(): MachineState {
    return this.found().before;
  }

  private found(): Pair {
    return (this.#pair ??= oneStep(this.#finder, this.#step)!);
  }
}
