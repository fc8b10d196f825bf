/** Shortest series of input moves from the resting vector to a state (MEANING.md, 21). */
import type { ControlId, MachineState } from "../../machine/machine.ts";
import type { Change } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { Kept } from "./kept.ts";
import { type InputMove, type Reach, settle } from "./reach.ts";
import type { Space } from "./space.ts";

/** More moves than this are not searched: no series a person would follow is that long. */
const LONGEST = 2000;

/** One input move of a path, by its place among the moves, and the state before it. */
interface PathStep {
  readonly move: number;
  readonly position: number;
  readonly from: MachineState;
}

/** States at rest by the number of input moves that lead there first. */
interface Layers {
  readonly sets: StateSet[];
  found: StateSet;
}

/** Machines whose layers are kept, steps of paths that are kept. */
const MOST_LAYERS = 4;
const MOST_STEPS = 2_000;

/** Paths kept from one analysis to the next: which moves, never their words. */
export class PathStore {
  readonly layers = new Kept<Layers>(MOST_LAYERS);
  readonly paths = new Kept<readonly PathStep[]>(MOST_STEPS);
}

export class Paths {
  private readonly space: Space;
  private readonly reach: Reach;
  private readonly store: PathStore;
  private readonly common: number;
  private readonly layers: StateSet[];
  private readonly kept: Layers;

  /** @param common number of all that moves and reachable states depend on; others of the same number find the same paths */
  constructor(space: Space, reach: Reach, store: PathStore, common: number) {
    this.space = space;
    this.reach = reach;
    this.store = store;
    this.common = common;
    this.kept = store.layers.of([common], () => ({ sets: [reach.first], found: reach.first }));
    this.layers = this.kept.sets;
  }

  to(state: MachineState): Change[] | undefined {
    const { space, reach, store } = this;
    if (state.length !== space.rest.length) return undefined;
    if (!space.has(reach.atRest, state)) return undefined;
    const key = [this.common];
    for (let control = 0; control < state.length; control++) key.push(state[control]!);
    let steps = store.paths.find(key);
    if (steps === undefined) {
      steps = this.stepsTo(state);
      if (steps === undefined) return undefined;
      store.paths.keep(key, steps, steps.length + 1);
    }
    return steps.map(({ move, position, from }) => {
      const { control } = reach.inputs[move]!;
      return { control, position, words: this.words(control, from, position) };
    });
  }

  private stepsTo(state: MachineState): readonly PathStep[] | undefined {
    let depth = this.depthOf(state);
    if (depth < 0) return undefined;
    const path: PathStep[] = [];
    let at = state;
    for (; depth > 0; depth--) {
      const step = this.stepTo(at, this.layers[depth - 1]!);
      if (step === undefined) return undefined;
      path.push(step);
      at = step.from;
    }
    return path.reverse();
  }

  private depthOf(state: MachineState): number {
    const { space } = this;
    for (let depth = 0; depth < LONGEST; depth++) {
      if (depth === this.layers.length && !this.addLayer()) return -1;
      if (space.has(this.layers[depth]!, state)) return depth;
    }
    return -1;
  }

  private addLayer(): boolean {
    const { space, reach } = this;
    const { diagrams } = space;
    const last = this.layers.at(-1)!;
    let moved: StateSet = EMPTY;
    for (const move of reach.inputs)
      moved = diagrams.or(moved, diagrams.move(diagrams.and(last, move.guard), move.relation));
    const fresh = diagrams.minus(settle(space, reach.settling, reach.stable, moved).rest, this.kept.found);
    if (fresh === EMPTY) return false;
    this.kept.found = diagrams.or(this.kept.found, fresh);
    this.layers.push(fresh);
    return true;
  }

  /** An input move from a state of `before` whose settling can end in `state`. */
  private stepTo(state: MachineState, before: StateSet): PathStep | undefined {
    const { space, reach } = this;
    const { diagrams } = space;
    // Backward over the settling: every state from which `state` can be the outcome.
    let leading = space.point(state);
    for (let fresh = leading; fresh !== EMPTY; ) {
      let earlier: StateSet = EMPTY;
      for (const move of reach.settling) {
        const after = space.fix(fresh, move.control, move.position);
        earlier = diagrams.or(earlier, diagrams.and(after, move.wants));
      }
      fresh = diagrams.minus(earlier, leading);
      leading = diagrams.or(leading, fresh);
    }
    for (const [index, move] of reach.inputs.entries()) {
      const from = diagrams.and(diagrams.and(before, move.guard), diagrams.move(leading, move.back));
      if (from === EMPTY) continue;
      const start = space.nearestTo(from, state)!;
      const position = move.to[start[move.control]!]!.findIndex((can, q) => {
        if (can !== 1) return false;
        const moved = start.slice();
        moved[move.control] = q;
        return space.has(leading, moved);
      });
      return { move: index, position, from: start };
    }
    return undefined;
  }

  /** Words of the rule that allows the move: of one that a person can do, where there is one, else of the first. */
  private words(id: ControlId, from: MachineState, position: number): string {
    const control = this.space.machine.controls[id]!;
    const name = control.positions[position]!.name;
    const rule = this.ruleOf(id, from, position);
    return rule === undefined ? `set ${control.name} to ${name}` : rule.words.replaceAll("{position}", name);
  }

  private ruleOf(id: ControlId, from: MachineState, position: number): InputMove["rule"] {
    let first: InputMove | undefined;
    for (const one of this.reach.inputs) {
      if (one.control !== id || one.to[from[id]!]![position] !== 1 || !this.space.has(one.guard, from)) continue;
      if (one.rule?.byHand) return one.rule;
      first ??= one;
    }
    return first?.rule;
  }
}
