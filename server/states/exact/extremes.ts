/** Smallest and largest volts, amps and watts of loads, and steady current through contacts (MEANING.md, 18). */
import { solveState } from "../../circuit/solve.ts";
import type { ContactId, LoadId } from "../../machine/machine.ts";
import type { Extremes } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { type Flow, flowOf } from "./flow.ts";
import type { LoadWork } from "./load-sets.ts";
import { eachLook, neighbourhood } from "./looks.ts";
import type { Reach } from "./reach.ts";
import { emptyRange, keep, type Option, type Range, SumSearch } from "./search.ts";
import type { LoadView } from "./targets.ts";

/** Visits of one search by branch and bound, and arrangements of contacts solved one at a time for one question. */
export const MOST_VISITS = 20_000;
export const MOST_LOOKS = 4096;

export type LoadQuantity = "load-volts" | "load-amps" | "load-watts";

export class SteadyExtremes {
  readonly work: LoadWork;
  readonly view: LoadView;
  readonly reached: Reach;
  /** Supply on, legs tied: no values are told there. */
  readonly shorted: StateSet;
  private readonly flows: (Flow | undefined)[] = [];
  private readonly options: (readonly (readonly Option[])[])[][] = [];

  constructor(work: LoadWork, view: LoadView, reached: Reach, shorted: StateSet) {
    this.work = work;
    this.view = view;
    this.reached = reached;
    this.shorted = shorted;
  }

  load(of: LoadQuantity, load: LoadId, care: StateSet): Range {
    const { work, view } = this;
    const { diagrams } = work.space;
    const range = emptyRange();
    let rest = diagrams.minus(care, this.shorted);
    for (const cell of view.ampsOf(load)) {
      const set = diagrams.and(cell.set, rest);
      if (set === EMPTY) continue;
      const most =
        of === "load-volts"
          ? work.values.hi[cell.value]!
          : of === "load-amps"
            ? cell.hi
            : cell.hi ** 2 * cell.resistance;
      if (cell.exact) keep(range, most, set);
      else this.refineLoad(of, load, set, range, most);
      rest = diagrams.minus(rest, set);
    }
    if (rest !== EMPTY) keep(range, 0, rest);
    return range;
  }

  /** Steady current of a closed contact over any states (at rest or passed through). */
  carries(contact: ContactId, states: StateSet): Range {
    const { work } = this;
    const { space, closed, live } = work;
    const { diagrams } = space;
    const range = emptyRange();
    const all = diagrams.minus(diagrams.and(states, closed[contact]!), this.shorted);
    if (all === EMPTY) return range;
    const dead = diagrams.minus(all, live);
    if (dead !== EMPTY) keep(range, 0, dead);
    const fed = diagrams.and(all, live);
    const flow = this.flow(contact);
    const near = neighbourhood(work, [work.circuit.contactA[contact]!, work.circuit.contactB[contact]!]);
    const byLook = (set: StateSet, into: Range): void => {
      const left = eachLook(work, near, set, MOST_LOOKS, (state, alike) => {
        const { re, im } = solveState(work.circuit, state).contactAmps;
        keep(into, Math.hypot(re[contact]!, im[contact]!), alike);
      });
      if (left !== EMPTY) cut(into);
    };
    const search = new SumSearch(diagrams, byLook, MOST_VISITS);
    flow.sides.forEach((side, index) => {
      search.run(diagrams.and(fed, side.where), this.sideOptions(contact, index), range);
    });
    const mixed = diagrams.and(fed, flow.mixed);
    if (mixed !== EMPTY) byLook(mixed, range);
    return range;
  }

  flow(contact: ContactId): Flow {
    const { work, reached } = this;
    const { diagrams } = work.space;
    return (this.flows[contact] ??= flowOf(
      work,
      contact,
      diagrams.and(diagrams.and(diagrams.or(reached.atRest, reached.passing), work.closed[contact]!), work.live),
    ));
  }

  private sideOptions(contact: ContactId, index: number): readonly (readonly Option[])[] {
    const { diagrams } = this.work.space;
    const known = (this.options[contact] ??= []);
    return (known[index] ??= this.flow(contact).sides[index]!.loads.map(({ load, plus, minus }) =>
      this.view.ampsOf(load).flatMap(({ re, im, hi, exact, set }) =>
        [
          { re, im, hi, exact, set: diagrams.and(set, plus) },
          { re: -re, im: -im, hi, exact, set: diagrams.and(set, minus) },
        ].filter((option) => option.set !== EMPTY),
      ),
    ));
  }

  /** Values of a load that the engine did not keep apart, solved one arrangement at a time. */
  private refineLoad(of: LoadQuantity, load: LoadId, set: StateSet, range: Range, bound: number): void {
    const { work } = this;
    const { circuit } = work;
    const near = neighbourhood(work, [circuit.loadA[load]!, circuit.loadB[load]!]);
    const left = eachLook(work, near, set, MOST_LOOKS, (state, alike) => {
      const { loadVolts, loadAmps, loadWatts } = solveState(circuit, state);
      const value =
        of === "load-volts"
          ? Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!)
          : of === "load-amps"
            ? Math.hypot(loadAmps.re[load]!, loadAmps.im[load]!)
            : loadWatts[load]!;
      keep(range, value, alike);
    });
    if (left !== EMPTY) {
      range.cutAbove = Math.max(range.cutAbove, bound);
      range.cutBelow = 0;
    }
  }
}

/** Notes that values were left out which nothing bounds. */
export function cut(range: Range): void {
  range.cutAbove = Infinity;
  range.cutBelow = 0;
}

/** The range as people get it. `before`: a state before the step that ends in the state. */
export function extremesOf(
  work: LoadWork,
  range: Range,
  step?: (set: StateSet) => { state: Uint8Array; before: Uint8Array },
): Extremes {
  const told = (found: Range["largest"]) => {
    if (found === undefined) return undefined;
    const shown = step ? step(found.set) : { state: work.space.nearest(found.set)! };
    return { value: found.value, ...shown };
  };
  const largest = range.largest?.value ?? -Infinity;
  const smallest = range.smallest?.value ?? Infinity;
  const exact = range.cutAbove <= largest && range.cutBelow >= smallest;
  return {
    smallest: told(range.smallest),
    largest: told(range.largest),
    exact,
    ...(!exact && { bound: Math.max(largest, range.cutAbove) }),
  };
}
