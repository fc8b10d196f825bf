/** The exact engine: every state at once, by decision diagrams. How it works and what must stay true: `../ENGINE.md`. */
import type { Circuit } from "../../circuit/circuit.ts";
import { solveState } from "../../circuit/solve.ts";
import type { ContactId, MachineState } from "../../machine/machine.ts";
import type { Engine, EngineOptions, Extremes, LoadClass, Quantity, Region } from "../engine.ts";
import { BreakExtremes } from "./breaks.ts";
import { chattersOf } from "./chatter.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { extremesOf, SteadyExtremes } from "./extremes.ts";
import { type LegReach, legReach } from "./leg-reach.ts";
import { type LoadSets, type LoadWork, loadSets, loadTypes } from "./load-sets.ts";
import { MakeExtremes } from "./makes.ts";
import { Paths } from "./path.ts";
import { PieceStore, Pieces } from "./pieces.ts";
import { type Reach, reach } from "./reach.ts";
import { type Slots, Space } from "./space.ts";
import { statementOf } from "./statement.ts";
import { Steps } from "./steps.ts";
import { LoadView } from "./targets.ts";
import { LoadTypes, OVER, Values, WEAK, WORKS } from "./values.ts";

/** Pieces that one analysis may work out. */
export const DEFAULT_BUDGET = 20_000;
/** A memory with more nodes than this is given up and begun afresh. */
const MOST_NODES = 1_500_000;

/** What stays good from one analysis to the next. Hand the same one in and an edit costs little. */
export class EngineMemory {
  slots: Slots | undefined;
  store = new PieceStore();
  values = new Values();
  types = new LoadTypes();

  /** Makes the memory fit a machine. */
  fit(circuit: Circuit): Slots {
    const { slots } = this;
    if (
      slots !== undefined &&
      slots.stepKey === Space.stepKey(circuit.machine) &&
      slots.diagrams.nodeCount < MOST_NODES &&
      slots.levels.size < 4 * circuit.machine.controls.length + 64
    )
      return slots;
    this.store = new PieceStore();
    this.values = new Values();
    this.types = new LoadTypes();
    return (this.slots = Space.slots(circuit.machine));
  }
}

export interface ExactOptions extends EngineOptions {
  readonly memory?: EngineMemory;
}

class ExactRegion implements Region {
  readonly engine: Engine;
  readonly set: StateSet;

  constructor(engine: Engine, set: StateSet) {
    this.engine = engine;
    this.set = set;
  }
}

const CLASS_OF: Readonly<Record<LoadClass, number>> = { off: 0, weak: WEAK, works: WORKS, over: OVER };

export function* makeExactEngine(circuit: Circuit, options: ExactOptions = {}): Generator<void, Engine> {
  const memory = options.memory ?? new EngineMemory();
  const space = new Space(circuit, memory.fit(circuit));
  const { machine } = circuit;
  const { diagrams } = space;
  const closed = Int32Array.from(machine.contacts, (contact) => space.condition(contact.closed));
  const legs = legReach(circuit, diagrams, closed);
  const supplyOn = space.at(machine.supply.control, 0);
  const potential = Array.from(circuit.legRe, (re, leg) =>
    circuit.legRe.findIndex((other, k) => other === re && circuit.legIm[k] === circuit.legIm[leg]),
  );
  const pieces = new Pieces(
    diagrams,
    memory.store,
    memory.values,
    memory.types,
    { re: [...circuit.legRe], im: [...circuit.legIm] },
    potential,
    options.budget ?? DEFAULT_BUDGET,
  );
  const work: LoadWork = {
    circuit,
    space,
    pieces,
    values: memory.values,
    types: memory.types,
    typeOf: loadTypes(circuit, memory.types),
    closed,
    legReach: legs.reach,
    live: diagrams.minus(supplyOn, legs.shorted),
  };
  yield;
  const loads = yield* loadSets(work);
  const view = new LoadView(space, loads, memory.values);
  const reached = yield* reach(view);
  return new ExactEngine(work, legs, supplyOn, loads, view, reached);
}

class ExactEngine implements Engine {
  readonly circuit: Circuit;
  private readonly work: LoadWork;
  private readonly space: Space;
  private readonly legs: LegReach;
  private readonly supplyOn: StateSet;
  private readonly loads: LoadSets;
  private readonly view: LoadView;
  private readonly reached: Reach;
  private readonly without: (LoadSets | undefined)[] = [];
  private readonly steady: SteadyExtremes;
  private readonly makes: MakeExtremes;
  private readonly breaks: BreakExtremes;
  private paths: Paths | undefined;

  constructor(work: LoadWork, legs: LegReach, supplyOn: StateSet, loads: LoadSets, view: LoadView, reached: Reach) {
    this.circuit = work.circuit;
    this.work = work;
    this.space = work.space;
    this.legs = legs;
    this.supplyOn = supplyOn;
    this.loads = loads;
    this.view = view;
    this.reached = reached;
    this.steady = new SteadyExtremes(work, view, reached, this.space.diagrams.and(supplyOn, legs.shorted));
    const steps = new Steps(this.space, reached);
    this.makes = new MakeExtremes(this.steady, steps);
    this.breaks = new BreakExtremes(this.steady, steps);
  }

  all(): Region {
    return new ExactRegion(this, this.reached.atRest);
  }

  none(): Region {
    return new ExactRegion(this, EMPTY);
  }

  when(load: number, classes: readonly LoadClass[]): Region {
    const { diagrams } = this.space;
    let set: StateSet = EMPTY;
    for (const name of classes) {
      const at = CLASS_OF[name];
      const above = at === OVER ? EMPTY : this.view.atLeast(load, at + 1);
      set = diagrams.or(set, diagrams.minus(this.view.atLeast(load, at), above));
    }
    return this.within(set);
  }

  closed(contact: ContactId): Region {
    return this.within(this.work.closed[contact]!);
  }

  where(condition: Parameters<Engine["where"]>[0]): Region {
    return this.within(this.space.condition(condition));
  }

  shorted(): Region {
    return this.within(this.space.diagrams.and(this.supplyOn, this.legs.shorted));
  }

  inSeries(contact: ContactId, load: number): Region {
    const { diagrams } = this.space;
    const both = diagrams.and(
      diagrams.and(this.reached.atRest, this.work.closed[contact]!),
      this.view.atLeast(load, WEAK),
    );
    const near = this.steady.near(contact);
    if (both === EMPTY || !near.loads.includes(load)) return this.none();
    return new ExactRegion(this, diagrams.minus(both, this.weakWithout(contact, load)));
  }

  tied(terminal: number, leg: number): Region {
    const joint = this.circuit.jointOf[terminal]!;
    return this.within(this.space.diagrams.and(this.supplyOn, this.legs.reach[leg]![joint]!));
  }

  and(a: Region, b: Region): Region {
    return new ExactRegion(this, this.space.diagrams.and(this.setOf(a), this.setOf(b)));
  }

  or(a: Region, b: Region): Region {
    return new ExactRegion(this, this.space.diagrams.or(this.setOf(a), this.setOf(b)));
  }

  not(a: Region): Region {
    return new ExactRegion(this, this.space.diagrams.minus(this.reached.atRest, this.setOf(a)));
  }

  isEmpty(a: Region): boolean {
    return this.setOf(a) === EMPTY;
  }

  count(a: Region): number {
    return this.space.count(this.setOf(a));
  }

  has(a: Region, state: MachineState): boolean {
    return state.length === this.space.rest.length && this.space.has(this.setOf(a), state);
  }

  witness(a: Region): MachineState | undefined {
    return this.space.nearest(this.setOf(a));
  }

  extreme(quantity: Quantity, care: Region): Extremes {
    const set = this.setOf(care);
    switch (quantity.of) {
      case "carries":
        return extremesOf(this.work, this.steady.carries(quantity.contact, set));
      case "makes":
        return this.makes.amps(quantity.contact, set);
      case "breaks":
        return this.breaks.amps(quantity.contact, set);
      case "breaks-volts":
        return this.breaks.volts(quantity.contact, set);
      default:
        return extremesOf(this.work, this.steady.load(quantity.of, quantity.load, set));
    }
  }

  pathTo(state: MachineState): ReturnType<Engine["pathTo"]> {
    this.paths ??= new Paths(this.space, this.reached);
    return this.paths.to(state);
  }

  statement(a: Region): ReturnType<Engine["statement"]> {
    const set = this.setOf(a);
    return statementOf(this.space, set, this.space.diagrams.minus(this.reached.atRest, set));
  }

  solve(state: MachineState): ReturnType<Engine["solve"]> {
    return solveState(this.circuit, state);
  }

  chatters(): ReturnType<Engine["chatters"]> {
    return chattersOf(this.space, this.reached);
  }

  covered(): ReturnType<Engine["covered"]> {
    const { machine } = this.circuit;
    const nominal = machine.controls.reduce((product, control) => product * control.positions.length, 1);
    const complete = this.loads.open.length === 0;
    return {
      complete,
      missing: complete
        ? []
        : ["not told apart within the budget: " + this.loads.open.map((load) => machine.loads[load]!.name).join(", ")],
      nominal,
      reachable: this.count(this.all()),
    };
  }

  private setOf(region: Region): StateSet {
    if (!(region instanceof ExactRegion) || region.engine !== this) throw new TypeError("a region of another engine");
    return region.set;
  }

  private within(set: StateSet): Region {
    return new ExactRegion(this, this.space.diagrams.and(set, this.reached.atRest));
  }

  /** States in which the load is at least weak with the contact taken out. */
  private weakWithout(contact: ContactId, load: number): StateSet {
    const position = this.ownOpenPosition(contact);
    if (position !== undefined)
      return this.space.fix(this.view.atLeast(load, WEAK), position.control, position.position);
    let sets = this.without[contact];
    if (sets === undefined) {
      const run = loadSets(this.work, { contact, ...this.steady.near(contact) });
      let step = run.next();
      while (!step.done) step = run.next();
      this.without[contact] = sets = step.value;
    }
    return sets.atLeast[WEAK * this.circuit.machine.loads.length + load]!;
  }

  /** A position of a control that opens this contact and changes nothing else in the circuit. */
  private ownOpenPosition(contact: ContactId): { control: number; position: number } | undefined {
    const { machine } = this.circuit;
    if (machine.contacts[contact]!.leaks) return undefined;
    const controls = new Set(machine.contacts[contact]!.closed.flatMap((term) => term.map(({ control }) => control)));
    for (const control of controls) {
      if (control === machine.supply.control) continue;
      if (machine.loads.some((load) => load.control === control && load.impedance.length > 1)) continue;
      const used = machine.contacts.some(
        (other) =>
          other.id !== contact && other.closed.some((term) => term.some((literal) => literal.control === control)),
      );
      if (used) continue;
      for (let position = 0; position < machine.controls[control]!.positions.length; position++)
        if (this.space.fix(this.work.closed[contact]!, control, position) === EMPTY) return { control, position };
    }
    return undefined;
  }
}
