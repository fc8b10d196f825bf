/** Steps that set out from given states at rest (MEANING.md, 14 and 19), as moves on sets. */
import type { ContactId, ControlId, MachineState } from "../../machine/machine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import type { Kept } from "./kept.ts";
import { type Reach, settle } from "./reach.ts";
import type { Space } from "./space.ts";
import type { StateFinder } from "./state-finder.ts";

/** All steps of one control that share their states before: from position p to q when `to[p][q]`. */
export interface Step {
  readonly control: ControlId;
  readonly to: readonly Uint8Array[];
  readonly relation: number;
  readonly back: number;
  readonly before: StateSet;
}

/** Every step from a state at rest of `care`, and every settling move that follows one. */
function stepsFrom(space: Space, reach: Reach, care: StateSet): Step[] {
  const { diagrams } = space;
  const steps: Step[] = [];
  let moved: StateSet = EMPTY;
  for (const move of reach.inputs) {
    const before = diagrams.and(care, move.guard);
    if (before === EMPTY) continue;
    moved = diagrams.or(moved, diagrams.move(before, move.relation));
    steps.push({ control: move.control, to: move.to, relation: move.relation, back: move.back, before });
  }
  const passed = care === reach.atRest ? reach.passing : settle(space, reach.settling, reach.stable, moved).passed;
  for (const move of reach.settling) {
    const before = diagrams.and(passed, move.wants);
    if (before === EMPTY) continue;
    const n = space.positionsOf(move.control);
    const to = Array.from({ length: n }, (_, p) =>
      Uint8Array.from({ length: n }, (_, q) => (q === move.position && p !== q ? 1 : 0)),
    );
    const back = to.map((_, q) => Uint8Array.from(to, (row) => row[q]!));
    steps.push({
      control: move.control,
      to,
      relation: move.relation,
      back: diagrams.relation(space.level[move.control]!, back),
      before,
    });
  }
  return steps;
}

/** Steps from some states at rest, kept from one analysis to the next. */
export type StepStore = Kept<readonly Step[]>;

export class Steps {
  /** A number for all that moves hang on and what can be reached: those of the same number have the same steps. */
  readonly number: number;
  private readonly space: Space;
  private readonly reach: Reach;
  private readonly store: StepStore;

  constructor(space: Space, reach: Reach, store: StepStore, number: number) {
    this.space = space;
    this.reach = reach;
    this.store = store;
    this.number = number;
  }

  /** Steps of controls that move the contact. */
  of(contact: ContactId, care: StateSet): Step[] {
    const steps = this.store.of([this.number, care], () => stepsFrom(this.space, this.reach, care));
    const closed = this.space.machine.contacts[contact]!.closed;
    const controls = new Set(closed.flatMap((term) => term.map(({ control }) => control)));
    return steps.filter(({ control }) => controls.has(control));
  }

  /** A step of one of `steps` from a state of `from` to a state of `to`; undefined when there is none. */
  one(steps: readonly Step[], from: StateSet, to: StateSet): Pair | undefined {
    return oneStep(this.space.finder, { steps, from, to });
  }
}

/** States before and after a step. */
export interface Pair {
  readonly state: MachineState;
  readonly before: MachineState;
}

/** A step of one of `steps` from a state of `from` to a state of `to`, to be looked for. */
export interface SomeStep {
  readonly steps: readonly Step[];
  readonly from: StateSet;
  readonly to: StateSet;
}

/** Undefined when there is none. */
export function oneStep(finder: StateFinder, { steps, from, to }: SomeStep): Pair | undefined {
  const { diagrams } = finder;
  for (const step of steps) {
    const start = diagrams.and(diagrams.and(step.before, from), diagrams.move(to, step.back));
    if (start === EMPTY) continue;
    const before = finder.nearest(start)!;
    const state = before.slice();
    for (let q = 0; q < step.to.length; q++) {
      if (step.to[before[step.control]!]![q] !== 1) continue;
      state[step.control] = q;
      if (finder.has(to, state)) return { state, before };
    }
  }
  return undefined;
}
