/** The exact engine: every state at once, by decision diagrams. How it works and what must stay true: `../ENGINE.md`. */
import { LazyFields } from "../../base/lazy-fields.ts";
import { buildCircuit, withOtherLegs } from "../../circuit/build.ts";
import type { Circuit } from "../../circuit/circuit.ts";
import { solveState } from "../../circuit/solve.ts";
import type { Complex, Condition, ContactId, ControlId, LoadId, Machine, MachineState } from "../../machine/machine.ts";
import type {
  ControlMatch,
  Coverage,
  Engine,
  EngineOptions,
  Extremes,
  LoadClass,
  Note,
  Quantity,
  Region,
} from "../engine.ts";
import type { AnswerStore, Answers } from "./answers.ts";
import { byVolts } from "./by-volts.ts";
import { chattersOf } from "./chatter.ts";
import type { ContactCurrent } from "./contact-currents.ts";
import { decidingLoads } from "./deciding-loads.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { EngineMemory } from "./engine-memory.ts";
import type { SteadyExtremes } from "./extremes.ts";
import { InSeries } from "./in-series.ts";
import type { LegReach } from "./leg-reach.ts";
import { type LoadSets, type LoadWork, loadSets } from "./load-sets.ts";
import { coilsWithoutOhms, missingWords } from "./missing.ts";
import { Paths } from "./path.ts";
import { SLICE_END } from "./pieces.ts";
import { type Analysed, QuestionsMade } from "./questions.ts";
import type { Effort } from "./range.ts";
import { type Reach, reach, settle } from "./reach.ts";
import { extremesOf } from "./shown-extremes.ts";
import type { Space } from "./space.ts";
import type { Statements } from "./statement.ts";
import { LoadView } from "./targets.ts";
import { translate } from "./translate.ts";
import { OVER, WEAK, WORKS } from "./values.ts";
import { DEFAULT_BUDGET, type WorkMade, workForLegs, workOf } from "./work.ts";

/** Visits of a search in one job: a few milliseconds. */
const PIECE = 150;

export { DEFAULT_BUDGET, EngineMemory };

export interface ExactOptions extends EngineOptions {
  readonly memory?: EngineMemory;
  /** What the search for one extreme may take; left out: by the size of the machine. A memory keeps answers of one effort. */
  readonly effort?: Readonly<Effort>;
  /** Visits of a search between two yields of a question asked in pieces. */
  readonly piece?: number;
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
  const made = workOf(circuit, memory, options.budget);
  yield;
  return yield* analysed(made, memory.answers, memory, options);
}

/**
 * The engine for a changed machine, made from the one for the machine that it was changed from: where only legs of the supply differ (lost,
 * or of other volts), all that rests on connections is taken over. Else it is made anew, on the memory if one is handed in.
 */
export function* engineForChanged(
  engine: Engine,
  machine: Machine,
  options: ExactOptions = {},
): Generator<void, Engine> {
  const circuit = withOtherLegs(engine.circuit, machine);
  const own = circuit && engine instanceof ExactEngine ? engine.forLegs(circuit, options) : undefined;
  return yield* own ?? makeExactEngine(buildCircuit(machine), options);
}

/** The engine, with what loads do and what can be reached worked out. */
function* analysed(
  { work, legs }: WorkMade,
  answers: AnswerStore,
  memory: EngineMemory,
  options: ExactOptions,
): Generator<void, ExactEngine> {
  let stopped = false;
  const isStopped = (): boolean => {
    if (!stopped && options.cancelled?.()) {
      stopped = true;
      work.pieces.stop();
    }
    return stopped;
  };
  const loads = yield* watched(loadSets(work), isStopped);
  const view = new LoadView(work.space, loads, work.values);
  const reached = yield* watched(
    reach(view, () => stopped, memory.reached),
    isStopped,
  );
  return new ExactEngine(
    { memory, answers, work, legs, loads, view, reached, effort: options.effort },
    work.circuit,
    options.piece,
  );
}

const QUANTITIES: readonly Quantity["of"][] = [
  "load-volts",
  "load-amps",
  "load-watts",
  "carries",
  "makes",
  "breaks",
  "breaks-volts",
  "leg-amps",
  "wire-amps",
];

/** The run, asking at each yield whether to stop. */
function* watched<T>(run: Generator<void, T>, isStopped: () => boolean): Generator<void, T> {
  isStopped();
  for (let step = run.next(); ; step = run.next()) {
    if (step.done) return step.value;
    yield;
    isStopped();
  }
}

/**
 * The engine for an equal machine that stands elsewhere in its text: same parts, same ids, same values. Only places and remarks differ,
 * which no answer depends on. Another object, so that what others keep beside an engine is not taken for this machine's.
 */
export function movedEngine(engine: Engine, circuit: Circuit): Engine | undefined {
  if (!(engine instanceof ExactEngine)) return undefined;
  return new ExactEngine(engine, circuit);
}

function opensDeciding(machine: Machine, { open }: LoadSets): boolean {
  const deciding = decidingLoads(machine);
  return open.some((load) => deciding.has(load));
}

const withReachable = new LazyFields<{ readonly reachable: number }>("reachable");

class ExactEngine implements Engine {
  readonly circuit: Circuit;
  private readonly work: LoadWork;
  private readonly space: Space;
  private readonly legs: LegReach;
  private readonly supplyOn: StateSet;
  private readonly loads: LoadSets;
  private readonly view: LoadView;
  private readonly reached: Reach;
  private readonly series: InSeries;
  /** Questions asked whose largest is a bound only, by what they ask. */
  private readonly bounded: Map<string, Quantity>;
  /** Coils that act by current but have no ohms. */
  private readonly noAmps: readonly LoadId[];
  /** Every load that decides what can be reached is covered. */
  private readonly sure: boolean;
  private readonly memory: EngineMemory;
  private readonly store: AnswerStore;
  private readonly questions: QuestionsMade;
  /** Volts asked about last by `whenAt`. */
  private otherLegs:
    | { readonly legs: readonly Complex[]; readonly volts: ReturnType<EngineMemory["legs"]> }
    | undefined;
  private paths: Paths | undefined;
  private reachable: number | undefined;
  /** With how many questions were not answered to the end then: neither forgets any. */
  private knownCoverage: { readonly asked: number; readonly coverage: Coverage } | undefined;
  private readonly piece: number;

  /** What an analysis found; or an engine, for a circuit of its own. */
  constructor(from: Analysed | ExactEngine, circuit: Circuit, piece = PIECE) {
    this.circuit = circuit;
    if (from instanceof ExactEngine) {
      // One by one, which is many times faster than all at once.
      this.work = from.work;
      this.space = from.space;
      this.legs = from.legs;
      this.supplyOn = from.supplyOn;
      this.loads = from.loads;
      this.view = from.view;
      this.reached = from.reached;
      this.series = from.series;
      this.bounded = from.bounded;
      this.noAmps = from.noAmps;
      this.sure = from.sure;
      this.memory = from.memory;
      this.store = from.store;
      this.questions = from.questions;
      this.paths = from.paths;
      this.reachable = from.reachable;
      this.piece = from.piece;
      return;
    }
    const { memory, answers, work, legs, loads, view, reached } = from;
    this.series = new InSeries(work, view, DEFAULT_BUDGET);
    this.bounded = new Map();
    this.piece = piece;
    this.work = work;
    this.space = work.space;
    this.legs = legs;
    this.supplyOn = work.space.at(work.circuit.machine.supply.control, 0);
    this.memory = memory;
    this.loads = loads;
    this.view = view;
    this.reached = reached;
    this.noAmps = coilsWithoutOhms(this.circuit.machine);
    this.sure = this.noAmps.length === 0 && (loads.open.length === 0 || !opensDeciding(this.circuit.machine, loads));
    this.store = answers;
    this.questions = new QuestionsMade(from);
  }

  private get steady(): SteadyExtremes {
    return this.questions.all.steady;
  }

  private get answers(): Answers {
    return this.questions.all.answers;
  }

  /**
   * The engine for a circuit that differs in its legs alone: those of this one, some of them lost, at volts of their own. Undefined where more
   * than that would have to be worked out.
   */
  forLegs(circuit: Circuit, options: ExactOptions): Generator<void, Engine> | undefined {
    const { work, legs, memory } = this;
    const made = workForLegs({ work, legs }, circuit, memory, options.budget);
    return made && analysed(made, this.store, memory, options);
  }

  setNumbers(): ReturnType<NonNullable<Engine["setNumbers"]>> {
    if (!this.covered().complete) return undefined;
    // Classes are all that amounts decide of sets; what can be reached, and by which moves, is in the number that all questions share.
    return { of: this.store, numbers: [this.answers.common, ...this.loads.atLeast] };
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

  whenAt(load: LoadId, classes: readonly LoadClass[], legs: readonly Complex[]): Region | undefined {
    if (!this.sure || !this.reached.complete) return undefined;
    if (this.otherLegs?.legs !== legs) {
      const legRe = Float64Array.from(legs, ({ re }) => re);
      const legIm = Float64Array.from(legs, ({ im }) => im);
      this.otherLegs = { legs, volts: this.memory.legs({ legRe, legIm }) };
    }
    const { volts } = this.otherLegs;
    const bits = classes.reduce((sum, name) => sum | (1 << CLASS_OF[name]), 0);
    const set = this.questions.all.otherVolts.states(load, bits, volts);
    return set === undefined ? undefined : this.within(set);
  }

  closed(contact: ContactId): Region {
    return this.within(this.work.closed[contact]!);
  }

  where(condition: Condition): Region {
    return this.within(this.space.condition(condition));
  }

  shorted(): Region {
    return this.within(this.space.diagrams.and(this.supplyOn, this.legs.shorted));
  }

  inSeries(contact: ContactId, load: number): Region {
    return new ExactRegion(this, this.series.of(contact, load, this.reached.atRest));
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

  moved(from: Region, control: ControlId, position: number): Region {
    const { space, reached } = this;
    const { diagrams } = space;
    const set = this.setOf(from);
    const there = space.at(control, position);
    let moved = diagrams.and(set, there);
    for (const move of reached.inputs) {
      if (move.control !== control) continue;
      const after = diagrams.move(diagrams.and(set, move.guard), move.relation);
      moved = diagrams.or(moved, diagrams.and(after, there));
    }
    return this.within(settle(space, reached.settling, reached.stable, moved).rest);
  }

  translated(other: Region, matches: ReadonlyMap<ControlId, ControlMatch>): Region {
    if (!(other instanceof ExactRegion) || !(other.engine instanceof ExactEngine))
      throw new TypeError("a region of another kind of engine");
    return this.within(translate(other.engine.space, other.set, this.space, matches));
  }

  isEmpty(a: Region): boolean {
    return this.setOf(a) === EMPTY;
  }

  positionsIn(a: Region, control: ControlId): Uint8Array {
    return this.space.positionsIn(this.setOf(a), control);
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
    const found = this.extremeOf(quantity, this.setOf(care));
    // States that may not be reachable, or reachable ones that are missing: neither end is proved.
    if (!this.sure || !this.reached.complete) return { ...found, exact: false, bound: undefined };
    if (!found.exact && found.bound !== undefined && found.bound > (found.largest?.value ?? 0) * (1 + 1e-9)) {
      const { of, ...subject } = quantity;
      this.bounded.set(`${of} ${Object.values(subject)[0]}`, quantity);
    }
    return found;
  }

  atMost(quantity: ContactCurrent): number {
    return this.sure && this.reached.complete ? this.questions.all.currents.atMost(quantity) : Infinity;
  }

  *extremeInPieces(quantity: Quantity, care: Region): Generator<void, Extremes> {
    if (quantity.of === "carries" || quantity.of === "makes")
      if (this.questions.all.currents.known(quantity, QUANTITIES.indexOf(quantity.of), this.setOf(care)))
        return this.extreme(quantity, care);
    const { pool } = this.steady;
    const taken = pool.take();
    for (;;) {
      pool.resume(taken, this.piece);
      try {
        return this.extreme(quantity, care);
      } catch (end) {
        if (end !== SLICE_END) throw end;
      } finally {
        pool.release();
      }
      yield;
    }
  }

  noteAbout(about: LoadId | "contacts", what: string): Note {
    return this.answers.noteAbout(about === "contacts" ? "contacts" : this.steady.nearLoad(about), `${about} ${what}`);
  }

  private extremeOf(quantity: Quantity, set: StateSet): Extremes {
    const code = QUANTITIES.indexOf(quantity.of);
    if ("load" in quantity) {
      const { of, load } = quantity;
      const answer = () => extremesOf(this.work, this.steady.load(of, load, set));
      const z = of === "load-volts" ? undefined : this.steady.ohmsOf(load);
      if (of !== "load-volts" && z) return byVolts(of, z, this.extremeOf({ of: "load-volts", load }, set));
      if (this.steady.isTold(load)) return this.answers.askToldLoad(code, set, load, answer);
      return this.answers.ask(code, set, { load }, this.steady.nearLoad(load), answer);
    }
    if ("leg" in quantity) return this.questions.all.conductors.leg(quantity.leg, set, code);
    if ("wire" in quantity) return this.questions.all.conductors.wire(quantity.wire, set, code);
    const { contact } = quantity;
    if (quantity.of !== "breaks-volts") return this.questions.all.currents.of(quantity, code, set);
    return this.answers.ask(code, set, { contact }, this.steady.near(contact), () =>
      this.questions.all.breaks.volts(contact, set),
    );
  }

  pathTo(state: MachineState): ReturnType<Engine["pathTo"]> {
    this.paths ??= new Paths(this.space, this.reached, this.store.paths, this.answers.common);
    return this.paths.to(state);
  }

  statement(a: Region): ReturnType<Engine["statement"]> {
    return this.questions.all.statements.of(this.setOf(a));
  }

  statementWithin(a: Region, ways: number): Condition | undefined {
    return this.questions.all.statements.within(this.setOf(a), ways);
  }

  statementByInputs(a: Region, ways: number): ReturnType<Statements["byInputs"]> {
    return this.questions.all.statements.byInputs(this.setOf(a), ways);
  }

  voltsIn(load: LoadId, state: MachineState): Complex | undefined {
    return this.questions.all.singles.volts(load, state);
  }

  wattsIn(states: readonly MachineState[]): Float64Array {
    return this.questions.all.singles.watts(states);
  }

  solve(state: MachineState): ReturnType<Engine["solve"]> {
    return solveState(this.circuit, state);
  }

  chatters(): ReturnType<Engine["chatters"]> {
    return chattersOf(this.space, this.reached);
  }

  covered(): Coverage {
    const asked = this.series.open.size + this.bounded.size;
    // Checks ask for it again and again.
    if (this.knownCoverage?.asked !== asked) this.knownCoverage = { asked, coverage: this.coverage() };
    return this.knownCoverage.coverage;
  }

  private coverage(): Coverage {
    const { machine } = this.circuit;
    const missing = missingWords(machine, {
      reached: this.reached.complete,
      open: this.loads.open,
      sure: this.sure,
      series: this.series.open,
      noAmps: this.noAmps,
    });
    const covered: Coverage = {
      complete: missing.length === 0,
      missing,
      nominal: machine.controls.reduce((product, control) => product * control.positions.length, 1),
      bounds: [...this.bounded.values()],
    };
    // Counted when somebody reads it: checks ask for what is missing again and again.
    return withReachable.add(covered, () => (this.reachable ??= this.count(this.all())));
  }

  private setOf(region: Region): StateSet {
    if (!(region instanceof ExactRegion) || region.engine !== this) throw new TypeError("a region of another engine");
    return region.set;
  }

  private within(set: StateSet): Region {
    return new ExactRegion(this, this.space.diagrams.and(set, this.reached.atRest));
  }
}
