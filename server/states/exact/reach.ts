/**
 * Settling and reachability, on sets of states (MEANING.md, 9 to 14). No step ever looks at one state: a move of a control is
 * an operation on the whole set.
 */
import type { ChangeRule, ControlId, Machine } from "../../machine/machine.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { Kept } from "./kept.ts";
import type { MoveShape, Space } from "./space.ts";
import { type LoadView, targetsOf } from "./targets.ts";

/** Moves of one input that share a guard. */
export interface InputMove {
  readonly control: ControlId;
  /** `to[p][q] === 1`: from position p to q. */
  readonly to: readonly Uint8Array[];
  readonly relation: number;
  /** The relation backward. */
  readonly back: number;
  /** States before the move in which it can be made. */
  readonly guard: StateSet;
  /** Left out when the control has no rules. */
  readonly rule?: ChangeRule;
}

/** A settled control that disagrees: the states in which it wants to go to `position` and is not there. */
export interface SettlingMove {
  readonly control: ControlId;
  readonly position: number;
  readonly wants: StateSet;
  readonly relation: number;
}

export interface Reach {
  readonly inputs: readonly InputMove[];
  readonly settling: readonly SettlingMove[];
  /** Every state at rest, reachable or not. */
  readonly stable: StateSet;
  /** Reachable states at rest. */
  readonly atRest: StateSet;
  /** States that are passed through while settling after an input move. */
  readonly passing: StateSet;
  /** Outcomes of the resting vector. */
  readonly first: StateSet;
  /** States passed through while the resting vector settles (no steps are counted there). */
  readonly starting: StateSet;
  /** False when the work was stopped before everything was reached. */
  readonly complete: boolean;
}

function matrixOf(positions: number, rule: ChangeRule | undefined): Uint8Array[] {
  return Array.from({ length: positions }, (_, p) =>
    Uint8Array.from({ length: positions }, (_, q) => {
      if (p === q) return 0;
      if (rule === undefined) return 1;
      if (rule.from[p] !== 1 || rule.to[q] !== 1) return 0;
      if (rule.by === 1) return q === (p + 1) % positions ? 1 : 0;
      if (rule.by === -1) return q === p - 1 ? 1 : 0;
      return 1;
    }),
  );
}

function transposed(to: readonly Uint8Array[]): Uint8Array[] {
  return to.map((_, q) => Uint8Array.from(to, (row) => row[q]!));
}

/** A rule of change as matrix and relations; kept with the diagrams, since most rules outlive an edit. */
function shapeOf(space: Space, level: number, positions: number, rule: ChangeRule | undefined): MoveShape {
  if (rule === undefined) return keptShapeOf(space, level, positions, rule);
  const known = space.shapesOfRules.get(rule);
  if (known?.level === level && known.shape.to.length === positions) return known.shape;
  const shape = keptShapeOf(space, level, positions, rule);
  space.shapesOfRules.set(rule, { level, shape });
  return shape;
}

function keptShapeOf(space: Space, level: number, positions: number, rule: ChangeRule | undefined): MoveShape {
  const key = rule ? `${level} ${rule.from.join("")} ${rule.to.join("")} ${rule.by ?? ""}` : `${level}`;
  const known = space.moveShapes.get(key);
  if (known) return known;
  const to = matrixOf(positions, rule);
  const relation = space.diagrams.relation(level, to);
  const back = space.diagrams.relation(level, transposed(to));
  const shape: MoveShape = { to, relation, back, any: to.some((row) => row.includes(1)) };
  space.moveShapes.set(key, shape);
  return shape;
}

export function inputMovesOf(machine: Machine, view: LoadView): InputMove[] {
  const { space } = view;
  const { diagrams } = space;
  const moves: InputMove[] = [];
  for (const control of machine.controls) {
    if (control.settled) continue;
    const rules: readonly (ChangeRule | undefined)[] = control.changes ?? [undefined];
    for (const rule of rules) {
      let guard: StateSet = FULL;
      if (rule?.when) guard = space.condition(rule.when);
      if (rule?.needs) {
        let fed: StateSet = EMPTY;
        for (const all of rule.needs) fed = diagrams.or(fed, view.all(all));
        guard = diagrams.and(guard, fed);
      }
      for (const test of rule?.unless ?? []) guard = diagrams.minus(guard, view.test(test));
      if (guard === EMPTY) continue;
      const { any, to, relation, back } = shapeOf(space, space.level[control.id]!, control.positions.length, rule);
      if (any) moves.push({ control: control.id, to, relation, back, guard, ...(rule && { rule }) });
    }
  }
  return moves;
}

function settlingMovesOf(machine: Machine, view: LoadView): SettlingMove[] {
  const { space } = view;
  const { diagrams } = space;
  const moves: SettlingMove[] = [];
  for (const control of machine.controls) {
    if (!control.settled || control.rule === undefined) continue;
    targetsOf(view, control.id, control.rule).forEach((target, position) => {
      const wants = diagrams.minus(target, space.at(control.id, position));
      if (wants === EMPTY) return;
      const to = control.positions.map((_, p) =>
        Uint8Array.from(control.positions, (_, q) => (q === position && p !== q ? 1 : 0)),
      );
      moves.push({ control: control.id, position, wants, relation: diagrams.relation(space.level[control.id]!, to) });
    });
  }
  return moves;
}

/** Settles `from`: the states at rest that it can come to, and all states passed through (`from` included). */
export function settle(
  space: Space,
  settling: readonly SettlingMove[],
  stable: StateSet,
  from: StateSet,
): { rest: StateSet; passed: StateSet } {
  const { diagrams } = space;
  let rest = diagrams.and(from, stable);
  let passed = diagrams.minus(from, stable);
  let fresh = passed;
  while (fresh !== EMPTY) {
    let next: StateSet = EMPTY;
    for (const move of settling)
      next = diagrams.or(next, diagrams.move(diagrams.and(fresh, move.wants), move.relation));
    rest = diagrams.or(rest, diagrams.and(next, stable));
    fresh = diagrams.minus(diagrams.minus(next, stable), passed);
    passed = diagrams.or(passed, fresh);
  }
  return { rest, passed };
}

/** What can be reached, without the moves that lead there. */
export type Reached = Omit<Reach, "inputs" | "settling" | "complete">;

/**
 * Everything reachable from the resting vector.
 *
 * @param kept by the moves and the resting vector
 */
export function* reach(view: LoadView, stopped: () => boolean, kept: Kept<Reached>): Generator<void, Reach> {
  const { space } = view;
  const { machine } = space;
  const settling = settlingMovesOf(machine, view);
  const inputs = inputMovesOf(machine, view);
  const key = [space.point(space.rest)];
  for (const { control, position, wants, relation } of settling) key.push(control, position, wants, relation);
  key.push(-1);
  for (const { control, guard, relation } of inputs) key.push(control, guard, relation);
  const known = stopped() ? undefined : kept.find(key);
  if (known !== undefined) return { ...known, inputs, settling, complete: true };
  const found = yield* reachedBy(space, settling, inputs, stopped);
  const { inputs: _, settling: __, complete, ...reached } = found;
  if (complete) kept.keep(key, reached);
  return found;
}

function* reachedBy(
  space: Space,
  settling: SettlingMove[],
  inputs: InputMove[],
  stopped: () => boolean,
): Generator<void, Reach> {
  const { diagrams } = space;
  let stable: StateSet = FULL;
  for (const { wants } of settling) stable = diagrams.minus(stable, wants);
  const start = settle(space, settling, stable, space.point(space.rest));
  let atRest = start.rest;
  let passing: StateSet = EMPTY;
  yield;
  let complete = false;
  while (!stopped()) {
    // First what needs no settling, chained: each move starts from all that the moves before it reached.
    for (let before = EMPTY; before !== atRest && !stopped(); ) {
      before = atRest;
      for (const move of inputs) {
        const moved = diagrams.move(diagrams.and(atRest, move.guard), move.relation);
        atRest = diagrams.or(atRest, diagrams.and(moved, stable));
      }
      yield;
    }
    let unsettled: StateSet = EMPTY;
    for (const move of inputs) {
      const moved = diagrams.move(diagrams.and(atRest, move.guard), move.relation);
      unsettled = diagrams.or(unsettled, diagrams.minus(moved, stable));
    }
    const fresh = diagrams.minus(unsettled, passing);
    if (fresh === EMPTY) {
      complete = !stopped();
      break;
    }
    const settled = settle(space, settling, stable, fresh);
    passing = diagrams.or(passing, settled.passed);
    const before = atRest;
    atRest = diagrams.or(atRest, settled.rest);
    if (before === atRest) {
      complete = !stopped();
      break;
    }
    yield;
  }
  return { inputs, settling, stable, atRest, passing, first: start.rest, starting: start.passed, complete };
}
