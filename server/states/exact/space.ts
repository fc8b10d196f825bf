/**
 * Which control stands where in the diagrams. The supply comes first (off decides everything), then the inputs in the order in
 * which a walk from the first leg meets them, then the settled controls, which the inputs decide. The timer, or whichever control
 * has most positions, is the step control at the ends.
 */

import type { Circuit } from "../../circuit/circuit.ts";
import type {
  ChangeRule,
  Complex,
  Condition,
  ControlId,
  Literal,
  Load,
  Machine,
  MachineState,
} from "../../machine/machine.ts";
import { Diagrams, EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import { edgesAt } from "./edges-at.ts";
import { StateFinder } from "./state-finder.ts";

/** Fewer positions than this are better off as an ordinary variable. */
const LEAST_STEPS = 5;
/** Sets of controls for which states are found again. */
const MOST_FINDERS = 4;
/** Sets of which the number of states is kept. */
const MOST_COUNTS = 10_000;

/** Diagrams and the places of controls in them; kept between analyses so that what did not change is found again. */
export interface Slots {
  readonly diagrams: Diagrams;
  readonly stepKey: string;
  readonly levels: Map<string, number>;
  readonly moveShapes: Map<string, MoveShape>;
  /** By the controls that they tell apart. */
  readonly finders: Map<string, StateFinder>;
}

/** Machines of the same controls find states alike, and go on from what was found for an earlier one. */
function finderOf(slots: Slots, controlAt: Int32Array, stepControl: ControlId, rest: MachineState): StateFinder {
  const key = `${controlAt} ${stepControl} ${rest}`;
  let finder = slots.finders.get(key);
  if (finder === undefined) {
    finder = new StateFinder(slots.diagrams, controlAt, stepControl, rest);
    slots.finders.set(key, finder);
    for (const oldest of slots.finders.keys()) {
      if (slots.finders.size <= MOST_FINDERS) break;
      slots.finders.delete(oldest);
    }
  }
  return finder;
}

/** How a rule moves a control: from row to column, forwards and backwards as relations of the diagrams. */
export interface MoveShape {
  readonly to: readonly Uint8Array[];
  readonly relation: number;
  readonly back: number;
  /** False when nothing can move by it. */
  readonly any: boolean;
}

function keyOf(machine: Machine, control: ControlId): string {
  const { name, positions } = machine.controls[control]!;
  return `${positions.length} ${name}`;
}

function stepControlOf(machine: Machine): ControlId {
  let best = -1;
  let most = LEAST_STEPS - 1;
  for (const control of machine.controls) {
    const weight = control.settled ? 0 : control.positions.length;
    if (weight > most) {
      most = weight;
      best = control.id;
    }
  }
  return best;
}

/** Controls in the order of a walk along contacts and loads from the first leg. */
function walkOrder(circuit: Circuit): ControlId[] {
  const { machine } = circuit;
  const order = new Set<ControlId>([machine.supply.control]);
  const add = (control: ControlId): void => {
    if (!machine.controls[control]!.settled) order.add(control);
  };
  const { contactsAt, loadsAt } = edgesAt(circuit);
  const seen = new Uint8Array(circuit.jointCount);
  const isLeg = new Uint8Array(circuit.jointCount);
  for (const joint of circuit.legJoint) isLeg[joint] = 1;
  const visit = (joint: number): void => {
    seen[joint] = 1;
    const next = (other: number): void => {
      if (seen[other] === 0 && isLeg[other] === 0) visit(other);
    };
    // Contact by contact to the end of each path: what is in series stays together.
    for (const contact of contactsAt[joint]!) {
      for (const term of machine.contacts[contact]!.closed) for (const { control } of term) add(control);
      next(circuit.contactA[contact]!);
      next(circuit.contactB[contact]!);
    }
    for (const load of loadsAt[joint]!) {
      next(circuit.loadA[load]!);
      next(circuit.loadB[load]!);
    }
  };
  for (const joint of circuit.legJoint) if (seen[joint] === 0) visit(joint);
  for (let joint = 0; joint < circuit.jointCount; joint++) if (seen[joint] === 0) visit(joint);
  for (const control of machine.controls) add(control.id);
  for (const control of machine.controls) order.add(control.id);
  return [...order];
}

export class Space {
  readonly diagrams: Diagrams;
  readonly machine: Machine;
  /** Level of each control; `STEPS` for the step control. */
  readonly level: Int32Array;
  /** Control at each level, -1 where a control of an earlier text stood. */
  readonly controlAt: Int32Array;
  /** -1 when there is none. */
  readonly stepControl: ControlId;
  private readonly circuit: Circuit;
  private walked: readonly ControlId[] | undefined;
  readonly rest: MachineState;
  /** By what decides them: level, positions and direction. */
  readonly moveShapes: Map<string, MoveShape>;
  /** The same for rules of this machine, which its changed copies share. */
  readonly shapesOfRules = new Map<ChangeRule, { readonly level: number; readonly shape: MoveShape }>();
  readonly finder: StateFinder;

  constructor(circuit: Circuit, slots: Slots) {
    const { machine } = circuit;
    this.machine = machine;
    this.diagrams = slots.diagrams;
    this.moveShapes = slots.moveShapes;
    this.stepControl = stepControlOf(machine);
    this.level = new Int32Array(machine.controls.length).fill(STEPS);
    this.circuit = circuit;
    const keys = machine.controls.map(({ id }) => keyOf(machine, id));
    const isNew = keys.some((key, control) => control !== this.stepControl && !slots.levels.has(key));
    // The order matters to what has no level yet.
    for (const control of isNew ? this.order : keys.keys()) {
      if (control === this.stepControl) continue;
      const key = keys[control]!;
      let level = slots.levels.get(key);
      if (level === undefined) {
        level = this.diagrams.addVariable(machine.controls[control]!.positions.length);
        slots.levels.set(key, level);
      }
      this.level[control] = level;
    }
    this.controlAt = new Int32Array(this.diagrams.arity.length).fill(-1);
    this.level.forEach((level, control) => {
      if (level !== STEPS) this.controlAt[level] = control;
    });
    this.rest = Uint8Array.from(machine.controls, ({ rest }) => rest);
    this.finder = finderOf(slots, this.controlAt, this.stepControl, this.rest);
  }

  /** Controls as a walk from the first leg meets them: the levels of a machine that has no earlier text. */
  get order(): readonly ControlId[] {
    return (this.walked ??= walkOrder(this.circuit));
  }

  static slots(machine: Machine): Slots {
    const step = stepControlOf(machine);
    return {
      diagrams: new Diagrams(step < 0 ? 1 : machine.controls[step]!.positions.length),
      stepKey: Space.stepKey(machine),
      levels: new Map(),
      moveShapes: new Map(),
      finders: new Map(),
    };
  }

  /** Slots fit another machine when the step control is the same. */
  static stepKey(machine: Machine): string {
    const step = stepControlOf(machine);
    return step < 0 ? "" : keyOf(machine, step);
  }

  positionsOf(control: ControlId): number {
    return this.machine.controls[control]!.positions.length;
  }

  /** For each position of a control 1 when it stands there in some state of the set. */
  positionsIn(set: StateSet, control: ControlId): Uint8Array {
    const { diagrams } = this;
    const level = this.level[control]!;
    const steps = level === STEPS ? diagrams.stepsOf(set) : EMPTY;
    return Uint8Array.from({ length: this.positionsOf(control) }, (_, position) => {
      const occurs = level === STEPS ? diagrams.hasStep(steps, position) : this.fix(set, control, position) !== EMPTY;
      return occurs ? 1 : 0;
    });
  }

  at(control: ControlId, position: number): StateSet {
    return this.diagrams.position(this.level[control]!, position);
  }

  literal({ control, positions }: Literal): StateSet {
    return this.diagrams.literal(this.level[control]!, positions);
  }

  condition(condition: Condition): StateSet {
    let sum = EMPTY;
    for (const term of condition) {
      let product = FULL;
      for (const literal of term) product = this.diagrams.and(product, this.literal(literal));
      sum = this.diagrams.or(sum, product);
    }
    return sum;
  }

  /** States in which the load's impedance passes the test. */
  withImpedance(load: Load, test: (z: Complex | undefined) => boolean): StateSet {
    if (load.control === undefined || load.impedance.length === 1) return test(load.impedance[0]) ? FULL : EMPTY;
    const positions = Uint8Array.from(load.impedance, (z) => (test(z) ? 1 : 0));
    return this.literal({ control: load.control, positions });
  }

  fix(set: StateSet, control: ControlId, position: number): StateSet {
    return this.diagrams.fix(set, this.level[control]!, position);
  }

  /** The one state, as a set. */
  point(state: ArrayLike<number>): StateSet {
    const { diagrams } = this;
    let set = this.stepControl < 0 ? FULL : this.at(this.stepControl, state[this.stepControl]!);
    for (let level = this.controlAt.length - 1; level >= 0; level--) {
      const control = this.controlAt[level]!;
      if (control >= 0) set = diagrams.choose(diagrams.position(level, state[control]!), set, EMPTY);
    }
    return set;
  }

  has(set: StateSet, state: ArrayLike<number>): boolean {
    return this.finder.has(set, state);
  }

  /** Number of states in the set. */
  count(set: StateSet): number {
    const { counts } = this.finder;
    const known = counts.get(set);
    if (known !== undefined) return known;
    if (counts.size >= MOST_COUNTS) counts.clear();
    const count = this.counted(set);
    counts.set(set, count);
    return count;
  }

  private counted(set: StateSet): number {
    const { diagrams } = this;
    const known = new Map<StateSet, number>();
    const depth = this.controlAt.length;
    // Number of states of all controls from a level down: below[depth] is the step control's share.
    const below = new Float64Array(depth + 1);
    below[depth] = diagrams.stepCount;
    for (let level = depth - 1; level >= 0; level--)
      below[level] = below[level + 1]! * (this.controlAt[level]! < 0 ? 1 : diagrams.arity[level]!);
    const shareOf = (one: StateSet): number => {
      let share = known.get(one);
      if (share !== undefined) return share;
      share = 0;
      const level = diagrams.levelOf(one);
      if (level === STEPS) {
        for (let step = 0; step < diagrams.stepCount; step++) if (diagrams.hasStep(one, step)) share++;
        share /= diagrams.stepCount;
      } else {
        const arity = diagrams.arity[level]!;
        for (let p = 0; p < arity; p++) share += shareOf(diagrams.branch(one, p));
        share /= arity;
      }
      known.set(one, share);
      return share;
    };
    return Math.round(shareOf(set) * below[0]!);
  }

  /** Some state of the set, quickly; controls at rest where that is easily had. The set must not be empty. */
  some(set: StateSet): MachineState {
    return this.finder.some(set);
  }

  /** The state of the set in which fewest controls are away from rest; undefined for the empty set. */
  nearest(set: StateSet): MachineState | undefined {
    return this.finder.nearest(set);
  }

  /** The state of the set in which fewest controls differ from `wanted`. */
  nearestTo(set: StateSet, wanted: ArrayLike<number>): MachineState | undefined {
    return this.finder.nearestTo(set, wanted);
  }
}
