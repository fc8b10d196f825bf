/** Where each settled control wants to go, as sets of states (MEANING.md, 8). */
import type { ControlId, LoadId, LoadTest, MotorRule, SettledRule } from "../../machine/machine.ts";
import { type AmpsCell, ampsCells } from "./amps.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { LoadSets } from "./load-sets.ts";
import type { Space } from "./space.ts";
import { SLACK, type Values, WEAK, WORKS } from "./values.ts";

/** Sets of states by class and amps of loads. */
export class LoadView {
  readonly space: Space;
  readonly sets: LoadSets;
  readonly values: Values;
  private readonly amps: (AmpsCell[] | undefined)[] = [];

  constructor(space: Space, sets: LoadSets, values: Values) {
    this.space = space;
    this.sets = sets;
    this.values = values;
  }

  atLeast(load: LoadId, least: number): StateSet {
    return least === 0 ? FULL : this.sets.atLeast[least * this.sets.cells.length + load]!;
  }

  test({ load, atLeast }: LoadTest): StateSet {
    return this.atLeast(load, atLeast === "works" ? WORKS : WEAK);
  }

  all(tests: readonly LoadTest[]): StateSet {
    let set: StateSet = FULL;
    for (const test of tests) set = this.space.diagrams.and(set, this.test(test));
    return set;
  }

  ampsOf(load: LoadId): readonly AmpsCell[] {
    return (this.amps[load] ??= ampsCells(
      this.space,
      this.values,
      this.space.machine.loads[load]!,
      this.sets.cells[load]!,
    ));
  }

  /** States in which the load's amps are not below the bound (or not told). */
  ampsNotBelow(load: LoadId, bound: number, told: boolean): StateSet {
    let set: StateSet = EMPTY;
    for (const cell of this.ampsOf(load)) {
      const size = Math.hypot(cell.re, cell.im);
      if (Number.isNaN(size) ? !told : size >= bound * (1 - SLACK)) set = this.space.diagrams.or(set, cell.set);
    }
    return set;
  }
}

/** For each position of the control the states in which it is the target; together they are all states. */
export function targetsOf(view: LoadView, control: ControlId, rule: SettledRule): StateSet[] {
  const { space } = view;
  const { diagrams } = space;
  const { and, or, minus, not } = bound(diagrams);
  switch (rule.rule) {
    case "coil": {
      const weak = view.atLeast(rule.load, WEAK);
      const works = view.atLeast(rule.load, WORKS);
      const one = or(works, and(weak, space.at(control, 1)));
      return [not(one), one];
    }
    case "current": {
      const pulls = view.ampsNotBelow(rule.load, rule.pullsIn, true);
      const holds = view.ampsNotBelow(rule.load, rule.dropsOut, false);
      const one = or(pulls, and(holds, space.at(control, 1)));
      return [not(one), one];
    }
    case "seat": {
      const one = or(view.all(rule.opens), and(space.at(control, 1), view.all(rule.stays)));
      return [not(one), one];
    }
    case "latch": {
      const one = or(space.condition(rule.sets), minus(space.at(control, 1), space.condition(rule.clears)));
      return [not(one), one];
    }
    case "motor":
      return motorTargets(view, control, rule);
  }
}

function motorTargets(view: LoadView, control: ControlId, rule: MotorRule): StateSet[] {
  const { space } = view;
  const { and, or, minus, not } = bound(space.diagrams);
  const targets: StateSet[] = space.machine.controls[control]!.positions.map(() => EMPTY);
  const add = (position: number, set: StateSet): void => {
    targets[position] = or(targets[position]!, set);
  };
  let left = or(space.at(control, 0), space.at(control, 1));
  let works: StateSet = EMPTY;
  let weak: StateSet = EMPTY;
  for (const main of rule.mains) {
    const turning = [main, ...(rule.either ? rule.starts : [])];
    const full = turning.map((load) => view.atLeast(load, WORKS)).reduce(or);
    works = or(works, full);
    weak = turning.map((load) => view.atLeast(load, WEAK)).reduce(or, weak);
    let working = and(left, full);
    if (rule.starts.length === 0) {
      add(2, working);
      left = minus(left, working);
      continue;
    }
    for (const start of rule.starts) {
      const [ahead, behind] = torqueSets(view, rule, main, start, working);
      for (const [set, sign] of [
        [ahead, 1],
        [behind, -1],
      ] as const) {
        const here = and(working, set);
        add(rule.leftSign === undefined || sign === rule.leftSign ? 2 : 3, here);
        working = minus(working, here);
        left = minus(left, here);
      }
    }
  }
  add(1, and(left, weak));
  add(0, minus(left, weak));
  for (let position = 2; position < targets.length; position++) {
    const here = space.at(control, position);
    add(position, and(here, works));
    add(0, and(here, not(works)));
  }
  return targets;
}

/** States with a starting torque, by the sign of Im(Ia conj(Im)). Not told counts as a torque. */
function torqueSets(
  view: LoadView,
  rule: MotorRule,
  main: LoadId,
  start: LoadId,
  care: StateSet,
): [StateSet, StateSet] {
  const { diagrams } = view.space;
  let ahead: StateSet = EMPTY;
  let behind: StateSet = EMPTY;
  const energised = diagrams.and(care, diagrams.and(view.atLeast(start, WEAK), view.atLeast(main, WEAK)));
  if (energised === EMPTY) return [EMPTY, EMPTY];
  for (const m of view.ampsOf(main)) {
    const mainSet = diagrams.and(energised, m.set);
    if (mainSet === EMPTY) continue;
    for (const a of view.ampsOf(start)) {
      const both = diagrams.and(mainSet, a.set);
      if (both === EMPTY) continue;
      const product = Math.hypot(a.re, a.im) * Math.hypot(m.re, m.im);
      const crossed = a.im * m.re - a.re * m.im;
      if (product === 0 || Math.abs(crossed) < (rule.leastTorque - SLACK) * product) continue;
      const sign = Math.sign(crossed);
      if (sign === 0) continue;
      const isAhead = Number.isNaN(sign) ? rule.leftSign === -1 : sign > 0;
      if (isAhead) ahead = diagrams.or(ahead, both);
      else behind = diagrams.or(behind, both);
    }
  }
  return [ahead, behind];
}

function bound(diagrams: Space["diagrams"]) {
  return {
    and: (a: StateSet, b: StateSet): StateSet => diagrams.and(a, b),
    or: (a: StateSet, b: StateSet): StateSet => diagrams.or(a, b),
    minus: (a: StateSet, b: StateSet): StateSet => diagrams.minus(a, b),
    not: (a: StateSet): StateSet => diagrams.not(a),
  };
}
