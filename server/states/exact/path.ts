/** Shortest series of input moves from the resting vector to a state (MEANING.md, 21). */
import type { MachineState } from "../../machine/machine.ts";
import type { Change } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { type InputMove, type Reach, settle } from "./reach.ts";
import type { Space } from "./space.ts";

/** More moves than this are not searched: no series a person would follow is that long. */
const LONGEST = 2000;

export class Paths {
  private readonly space: Space;
  private readonly reach: Reach;
  /** `layers[k]`: states at rest first reached after k input moves. */
  private readonly layers: StateSet[];
  private found: StateSet;

  constructor(space: Space, reach: Reach) {
    this.space = space;
    this.reach = reach;
    this.layers = [reach.first];
    this.found = reach.first;
  }

  to(state: MachineState): Change[] | undefined {
    const { space, reach } = this;
    if (state.length !== space.rest.length || !space.has(reach.atRest, state)) return undefined;
    let depth = this.depthOf(state);
    if (depth < 0) return undefined;
    const path: Change[] = [];
    let at = state;
    for (; depth > 0; depth--) {
      const step = this.stepTo(at, this.layers[depth - 1]!);
      if (step === undefined) return undefined;
      path.push(step.change);
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
    const fresh = diagrams.minus(settle(space, reach.settling, reach.stable, moved).rest, this.found);
    if (fresh === EMPTY) return false;
    this.found = diagrams.or(this.found, fresh);
    this.layers.push(fresh);
    return true;
  }

  /** An input move from a state of `before` whose settling can end in `state`. */
  private stepTo(state: MachineState, before: StateSet): { change: Change; from: MachineState } | undefined {
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
    for (const move of reach.inputs) {
      const from = diagrams.and(diagrams.and(before, move.guard), diagrams.move(leading, move.back));
      if (from === EMPTY) continue;
      const start = space.nearestTo(from, state)!;
      const position = move.to[start[move.control]!]!.findIndex((can, q) => {
        if (can !== 1) return false;
        const moved = start.slice();
        moved[move.control] = q;
        return space.has(leading, moved);
      });
      return { change: { control: move.control, position, words: this.words(move, start, position) }, from: start };
    }
    return undefined;
  }

  /** Words of the rule that allows the move: of one that a person can do, where there is one, else of the first. */
  private words(move: InputMove, from: MachineState, position: number): string {
    const control = this.space.machine.controls[move.control]!;
    const name = control.positions[position]!.name;
    const allowed = this.reach.inputs.filter(
      (one) =>
        one.control === move.control && one.to[from[move.control]!]![position] === 1 && this.space.has(one.guard, from),
    );
    const rule = (allowed.find((one) => one.rule?.byHand) ?? allowed[0])?.rule;
    return rule === undefined ? `set ${control.name} to ${name}` : rule.words.replaceAll("{position}", name);
  }
}
