/**
 * Single states of sets. Knows the controls by their places only, nothing of a machine: what holds on to one, such as an answer kept for
 * the next analysis, holds on to no text.
 */
import type { ControlId, MachineState } from "../../machine/machine.ts";
import { type Diagrams, EMPTY, STEPS, type StateSet } from "./diagram.ts";

export class StateFinder {
  readonly diagrams: Diagrams;
  /** Control at each level, -1 where none stands. */
  readonly controlAt: Int32Array;
  /** -1 when there is none. */
  readonly stepControl: ControlId;
  readonly rest: MachineState;
  /** Numbers of states by set, once counted. */
  readonly counts = new Map<StateSet, number>();
  private toRest: Distances | undefined;

  constructor(diagrams: Diagrams, controlAt: Int32Array, stepControl: ControlId, rest: MachineState) {
    this.diagrams = diagrams;
    this.controlAt = controlAt;
    this.stepControl = stepControl;
    this.rest = rest;
  }

  has(set: StateSet, state: ArrayLike<number>): boolean {
    const { diagrams } = this;
    for (let level = diagrams.levelOf(set); level !== STEPS; level = diagrams.levelOf(set))
      set = diagrams.branch(set, state[this.controlAt[level]!]!);
    return diagrams.hasStep(set, this.stepControl < 0 ? 0 : state[this.stepControl]!);
  }

  /** Some state of the set, quickly; controls at rest where that is easily had. The set must not be empty. */
  some(set: StateSet): MachineState {
    const { diagrams, rest } = this;
    const state = rest.slice();
    for (let level = diagrams.levelOf(set); level !== STEPS; level = diagrams.levelOf(set)) {
      const control = this.controlAt[level]!;
      let position = control < 0 ? 0 : rest[control]!;
      if (diagrams.branch(set, position) === EMPTY)
        for (position = 0; diagrams.branch(set, position) === EMPTY; ) position++;
      if (control >= 0) state[control] = position;
      set = diagrams.branch(set, position);
    }
    if (this.stepControl >= 0 && !diagrams.hasStep(set, rest[this.stepControl]!)) {
      let step = 0;
      while (!diagrams.hasStep(set, step)) step++;
      state[this.stepControl] = step;
    }
    return state;
  }

  /** The state of the set in which fewest controls are away from rest; undefined for the empty set. */
  nearest(set: StateSet): MachineState | undefined {
    if (set === EMPTY) return undefined;
    this.toRest ??= new Distances(this, this.rest);
    return this.toRest.nearest(set);
  }

  /** The state of the set in which fewest controls differ from `wanted`. */
  nearestTo(set: StateSet, wanted: ArrayLike<number>): MachineState | undefined {
    return set === EMPTY ? undefined : new Distances(this, wanted).nearest(set);
  }
}

/** How many controls must differ from a wanted state, by set: kept, since sets that are asked in turn share most of their parts. */
class Distances {
  private readonly finder: StateFinder;
  private readonly wanted: ArrayLike<number>;
  private readonly step: number;
  /** By set: one more than the distance; 0 where it is not known. */
  private known = new Uint16Array(0);

  constructor(finder: StateFinder, wanted: ArrayLike<number>) {
    this.finder = finder;
    this.wanted = wanted;
    this.step = finder.stepControl < 0 ? 0 : wanted[finder.stepControl]!;
  }

  nearest(of: StateSet): MachineState {
    const { finder, wanted, step } = this;
    const { diagrams, controlAt, stepControl } = finder;
    // The parts of a set have lower numbers than the set.
    if (this.known.length <= of) {
      const longer = new Uint16Array(Math.max(of + 1, 2 * this.known.length));
      longer.set(this.known);
      this.known = longer;
    }
    const state = Uint8Array.from(wanted);
    let set = of;
    for (let level = diagrams.levelOf(set); level !== STEPS; level = diagrams.levelOf(set)) {
      const control = controlAt[level]!;
      const home = control < 0 ? 0 : wanted[control]!;
      let best = Infinity;
      let position = -1;
      for (let p = 0; p < diagrams.arity[level]!; p++) {
        const far = this.distance(diagrams.branch(set, p)) + (p === home ? 0 : 1);
        if (far < best) {
          best = far;
          position = p;
        }
      }
      if (control >= 0) state[control] = position;
      set = diagrams.branch(set, position);
    }
    if (stepControl >= 0 && !diagrams.hasStep(set, step)) {
      let found = 0;
      while (!diagrams.hasStep(set, found)) found++;
      state[stepControl] = found;
    }
    return state;
  }

  private distance(set: StateSet): number {
    if (set === EMPTY) return Infinity;
    const known = this.known[set]!;
    if (known !== 0) return known - 1;
    const { diagrams, controlAt } = this.finder;
    const level = diagrams.levelOf(set);
    let best = Infinity;
    if (level === STEPS) best = diagrams.hasStep(set, this.step) ? 0 : 1;
    else {
      const home = controlAt[level]! < 0 ? 0 : this.wanted[controlAt[level]!]!;
      for (let p = 0; p < diagrams.arity[level]!; p++)
        best = Math.min(best, this.distance(diagrams.branch(set, p)) + (p === home ? 0 : 1));
    }
    this.known[set] = best + 1;
    return best;
  }
}
