/** Smallest and largest volts, amps and watts of loads, and steady current through contacts (MEANING.md, 18). */
import { shareOf } from "../../circuit/share.ts";
import { solveState } from "../../circuit/solve.ts";
import type { Complex, ContactId, LoadId, MachineState } from "../../machine/machine.ts";
import type { ShareOf } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { conducts } from "./elements.ts";
import { type Flow, flowOf, type Side } from "./flow.ts";
import { type CarryingStates, type Frame, frameOf, MOST_REGIONS, type SummedLoads } from "./frames.ts";
import { JointVolts } from "./joint-volts.ts";
import { LoadCurrents } from "./load-currents.ts";
import type { LoadWork } from "./load-sets.ts";
import { lookAlikes, type Neighbourhood, neighbourhood } from "./looks.ts";
import { mostOfOptions, type Option } from "./options.ts";
import { changed, cut, type Effort, emptyRange, isWide, keep, type Range, type Where } from "./range.ts";
import type { Reach } from "./reach.ts";
import { Rings } from "./rings.ts";
import { type Group, SumSearch } from "./search.ts";
import type { LoadView } from "./targets.ts";
import type { Zone } from "./zones.ts";

export type LoadQuantity = "load-volts" | "load-amps" | "load-watts";

/** Machines of at most this many nominal states get every question answered to the end. */
const FEW_STATES = 50_000;
/** Up to this many, mostly. */
const MANY_STATES = 1e12;

/**
 * Effort for questions about one machine: visits of branch and bound, arrangements of contacts solved one at a time. Counted, not
 * timed, so that the same questions get the same answers everywhere. Large machines have a common pool; once it is empty
 * each question gets little, and what that leaves open is said.
 */
export class EffortPool {
  private readonly size: "few" | "many" | "very many";
  private readonly each: Effort | undefined;
  private visits = 20_000;
  /** For all questions that were cut short before an edit and are asked again: each analysis goes on a little. */
  private again = 20;
  private looks: number;
  private resumed: TakenEffort | undefined;
  /** True when the question run last looked at single states: its answer hangs on all that is near, not on volts of loads alone. */
  looked = false;

  /** `each`: what every question may take, whatever the machine's size. */
  constructor({ circuit: { machine } }: LoadWork, each?: Effort) {
    this.each = each;
    const nominal = machine.controls.reduce((product, control) => product * control.positions.length, 1);
    this.size = nominal <= FEW_STATES ? "few" : nominal <= MANY_STATES ? "many" : "very many";
    this.looks = this.size === "many" ? 3000 : 150;
  }

  /** Runs a question with the effort it may take. */
  run<T>(question: (effort: Effort) => T): T {
    const taken = this.resumed ?? this.take();
    this.resumed = undefined;
    // What was looked at one by one is looked at again when a question goes on.
    const { whole, left } = taken;
    left.looks = whole.looks;
    left.near = false;
    const answer = question(left);
    this.looked = left.looks !== whole.looks || left.near;
    this.again = left.again ?? this.again;
    this.visits -= whole.visits - Math.max(0, left.visits);
    this.looks -= whole.looks - Math.max(0, left.looks);
    return answer;
  }

  /** The effort of one question, to be handed in again by `resume` each time that it goes on. */
  take(piece?: number): TakenEffort {
    const whole = this.effort();
    const { visits, looks, again } = whole;
    return { whole, left: { visits, looks, again, near: false, piece } };
  }

  /** The next question that is run goes on with what is left of its effort, for so many visits. */
  resume(taken: TakenEffort, piece: number): void {
    taken.left.piece = piece;
    this.resumed = taken;
  }

  /** No question goes on. */
  release(): void {
    this.resumed = undefined;
  }

  private effort(): Effort {
    if (this.each !== undefined) return { again: this.each.visits, ...this.each };
    if (this.size === "few") return { visits: 100_000, looks: FEW_STATES, again: 100_000 };
    const visits = Math.max(60, Math.min(1200, this.visits));
    const looks = Math.max(1, Math.min(this.size === "many" ? 200 : 16, this.looks));
    return { visits, looks, again: this.again };
  }
}

/** Effort of a question: at its beginning, and what is left. */
export interface TakenEffort {
  readonly whole: Readonly<Effort>;
  readonly left: Effort & { near: boolean };
}

export class SteadyExtremes {
  readonly work: LoadWork;
  readonly view: LoadView;
  readonly reached: Reach;
  /** Supply on, legs tied: no values are told there. */
  readonly shorted: StateSet;
  readonly pool: EffortPool;
  /** True when contacts asked about stand for conductors without any resistance. */
  private readonly rigid: boolean;
  private knownJoints: JointVolts | undefined;
  private knownFrame: Frame | undefined;
  private knownZones: readonly Zone[] | undefined;
  /** Current through a contact in one state, A. */
  private readonly solved: (contact: ContactId, state: MachineState) => number;
  private readonly nears: (Neighbourhood | undefined)[] = [];
  private readonly loadNears: (Neighbourhood | undefined)[] = [];
  private readonly currents: (LoadCurrents | undefined)[] = [];
  private readonly feds: (StateSet | undefined)[] = [];

  constructor(
    work: LoadWork,
    view: LoadView,
    reached: Reach,
    shorted: StateSet,
    pool = new EffortPool(work),
    solved?: (contact: ContactId, state: MachineState) => number,
  ) {
    this.work = work;
    this.view = view;
    this.reached = reached;
    this.shorted = shorted;
    this.pool = pool;
    this.rigid = solved !== undefined;
    this.solved =
      solved ??
      ((contact, state) => {
        const { re, im } = solveState(work.circuit, state).contactAmps;
        return Math.hypot(re[contact]!, im[contact]!);
      });
  }

  /** True where no state need be looked at to tell what the load gets: all volts are known, and the ohms tell its amps from them. */
  isTold(load: LoadId): boolean {
    const { impedance } = this.work.circuit.machine.loads[load]!;
    return this.view.sets.trees[load]!.rootMost < Infinity && !impedance.some((z) => z?.re === 0 && z.im === 0);
  }

  /** The one impedance that the load has in every state, where its volts are told in all of them and it has a resistance. */
  ohmsOf(load: LoadId): Complex | undefined {
    const { impedance } = this.work.circuit.machine.loads[load]!;
    const z = impedance.length === 1 ? impedance[0] : undefined;
    return z && conducts(z) && z.re > 0 && this.isTold(load) ? z : undefined;
  }

  load(of: LoadQuantity, load: LoadId, care: StateSet): Range {
    return this.pool.run((effort) => this.loadWith(of, load, care, effort));
  }

  private loadWith(of: LoadQuantity, load: LoadId, care: StateSet, effort: Effort): Range {
    const { work } = this;
    const { diagrams } = work.space;
    const range = emptyRange();
    const rest = diagrams.minus(care, this.shorted);
    if (work.circuit.machine.loads[load]!.impedance.some((z) => z?.re === 0 && z.im === 0)) {
      // Without ohms, volts do not tell amps.
      const dead = diagrams.minus(rest, work.live);
      if (dead !== EMPTY) keep(range, 0, { set: dead, before: EMPTY });
      this.refineLoad(of, load, diagrams.and(rest, work.live), range, Infinity, effort);
      return range;
    }
    const dead = diagrams.minus(rest, this.fed(load));
    if (dead !== EMPTY) keep(range, 0, { set: dead, before: EMPTY });
    const fed = this.fed(load);
    const where = { set: diagrams.and(care, fed), before: EMPTY };
    for (const { yRe, yIm, set } of this.optionsOf(load)) {
      const byLook = (some: Where, into: Range, bound: number): void =>
        this.refineLoad(of === "load-volts" ? of : "load-amps", load, some.set, into, bound, effort);
      const volts = this.view.sets.trees[load]!;
      const adds = [{ volts, fed, ...(of === "load-volts" ? { yRe: 1, yIm: 0 } : { yRe, yIm }) }];
      // Without resistance there are no watts, whatever the volts.
      const here = yRe === 0 && of === "load-watts" ? diagrams.and(where.set, set) : EMPTY;
      if (here !== EMPTY) keep(range, 0, { set: here, before: EMPTY });
      if (yRe === 0 && of === "load-watts") continue;
      const ohms = of === "load-watts" ? yRe / (yRe ** 2 + yIm ** 2) : undefined;
      const found = ohms === undefined ? range : changed(range, (watts) => Math.sqrt(watts / ohms));
      new SumSearch(diagrams, work.searches, effort).cases(
        where,
        [{ re: 0, im: 0, adds, within: diagrams.and(set, fed) }],
        found,
        byLook,
      );
      if (ohms !== undefined)
        Object.assign(
          range,
          changed(found, (amps) => amps ** 2 * ohms),
        );
    }
    return range;
  }

  /** Steady current of a closed contact over any states (at rest or passed through); `only`: loads that alone count. */
  carries(contact: ContactId, states: StateSet, only?: ShareOf): Range {
    return this.pool.run((effort) => this.carriesWith(contact, states, effort, only));
  }

  private carriesWith(contact: ContactId, states: StateSet, effort: Effort, only: ShareOf | undefined): Range {
    const { work } = this;
    const range = emptyRange();
    const { dead, sides, untold } = this.carryingStates(contact, states);
    if (dead !== EMPTY) keep(range, 0, { set: dead, before: EMPTY });
    const byLook = (where: Where, into: Range, bound: number): void =>
      this.refineContact(contact, where.set, into, bound, effort, only);
    const search = new SumSearch(work.space.diagrams, work.searches, effort);
    sides.forEach((set, k) => {
      if (set === EMPTY) return;
      const side = this.flow(contact).sides[k]!;
      search.run({ set, before: EMPTY }, this.groups(loadsThatCount(side, only)), range, byLook);
    });
    if (untold !== EMPTY) byLook({ set: untold, before: EMPTY }, range, Infinity);
    return range;
  }

  /**
   * What the steady current of a contact does not exceed, A, from the largest that each load of its sum may have.
   *
   * @param passing true: also in states that are passed through; false: at rest only
   */
  mostCarried(contact: ContactId, passing: boolean): number {
    return this.mostSummed(contact, passing ? this.mostPassing : this.mostAtRest);
  }

  private readonly mostPassing = (load: LoadId): number => this.currentsOf(load).most();

  /** Impedances that a load has where it has volts: a start winding or a motor that stands has some in passing only. */
  private readonly mostAtRest = (load: LoadId): number => {
    const currents = this.currentsOf(load);
    if (currents.mostAtRest !== undefined) return currents.mostAtRest;
    const { diagrams } = this.work.space;
    const fed = diagrams.and(this.fed(load), this.reached.atRest);
    const atRest = currents.options.filter(({ set }) => diagrams.meets(fed, set));
    return (currents.mostAtRest = mostOfOptions(atRest));
  };

  /** The most that a contact's sum comes to when no load has more than `amps`; infinite where its current is no sum. */
  mostSummed(contact: ContactId, amps: (load: LoadId) => number): number {
    const weights = this.weights(contact);
    if (weights === "untold") return Infinity;
    let most = 0;
    for (const side of weights) {
      let sum = 0;
      for (let i = 0; i < side.length; i += 2) sum += side[i + 1]! * amps(side[i]!);
      if (Number.isNaN(sum)) return Infinity;
      if (sum > most) most = sum;
    }
    return most;
  }

  private weights(contact: ContactId): SummedLoads {
    const { weights } = this.frame;
    let known = weights.get(contact);
    if (known === undefined) {
      const { sides, untold } = this.flow(contact);
      const told = sides.map(({ loads }) =>
        loads.flatMap(({ load, parts }) => [load, Math.max(0, ...parts.map(({ factor }) => Math.abs(factor)))]),
      );
      weights.set(contact, (known = untold === EMPTY ? told : "untold"));
    }
    return known;
  }

  /** States of `states` in which the contact is closed, as its current is told there. */
  private carryingStates(contact: ContactId, states: StateSet): CarryingStates {
    const { frame, work } = this;
    let known = frame.carried.get(contact);
    if (known === undefined) frame.carried.set(contact, (known = new Map()));
    let told = known.get(states);
    if (told !== undefined) return told;
    const { diagrams } = work.space;
    const all = diagrams.minus(diagrams.and(states, work.closed[contact]!), this.shorted);
    const fed = diagrams.and(all, work.live);
    const flow = all === EMPTY ? undefined : this.flow(contact);
    told = {
      dead: diagrams.minus(all, work.live),
      sides: flow?.sides.map(({ where }) => diagrams.and(fed, where)) ?? [],
      untold: flow === undefined ? EMPTY : diagrams.and(fed, flow.untold),
    };
    if (known.size >= MOST_REGIONS) known.clear();
    known.set(states, told);
    return told;
  }

  /** Volts of the ends of contacts. */
  get joints(): JointVolts {
    return (this.knownJoints ??= new JointVolts(this.work, this.view.sets));
  }

  /** What connections alone say. */
  get frame(): Frame {
    return (this.knownFrame ??= frameOf(this.work, this.reached, this.shorted, (load) => this.fed(load), this.rigid));
  }

  flow(contact: ContactId): Flow {
    const { work, reached } = this;
    const { diagrams } = work.space;
    const { frame } = this;
    let flow = frame.flows.get(contact);
    if (flow === undefined) {
      const states = diagrams.and(diagrams.or(reached.atRest, reached.passing), work.closed[contact]!);
      frame.rings ??= new Rings(work);
      flow = flowOf(work, frame.rings, contact, diagrams.and(states, work.live), this.rigid);
      frame.flows.set(contact, flow);
    }
    return flow;
  }

  /** Loads that the current of a contact is a sum of, as far as sums tell it. */
  summed(contact: ContactId, only?: ShareOf): readonly LoadId[] {
    const { summed } = this.frame;
    let loads = summed.get(contact);
    if (loads === undefined) {
      loads = this.flow(contact).sides.flatMap((side) => side.loads.map(({ load }) => load));
      summed.set(contact, loads);
    }
    return only ? loads.filter((load) => only.includes(load)) : loads;
  }

  /** The zone of each contact. */
  private get zoneOf(): readonly Zone[] {
    if (this.knownZones !== undefined) return this.knownZones;
    const of: Zone[] = [];
    for (const zone of this.work.zones) for (const contact of zone.contacts) of[contact] = zone;
    return (this.knownZones = of);
  }

  near(contact: ContactId): Neighbourhood {
    const known = this.nears[contact];
    if (known !== undefined) return known;
    const { contactA, contactB } = this.work.circuit;
    const zone = this.zoneOf[contact]!;
    return (this.nears[contact] = neighbourhood(this.work, zone, [contactA[contact]!, contactB[contact]!]));
  }

  nearLoad(load: LoadId): Neighbourhood {
    const { circuit, zones } = this.work;
    return (this.loadNears[load] ??= neighbourhood(this.work, zones.find(({ loads }) => loads.includes(load))!, [
      circuit.loadA[load]!,
      circuit.loadB[load]!,
    ]));
  }

  /** States in which the load has any current. */
  fed(load: LoadId): StateSet {
    const { space, circuit } = this.work;
    return (this.feds[load] ??= space.diagrams.and(
      this.view.sets.fed[load]!,
      space.withImpedance(circuit.machine.loads[load]!, conducts),
    ));
  }

  private groups(loads: Side["loads"]): Group[] {
    const { groups } = this.frame;
    return loads.map((one) => {
      const options = this.optionsOf(one.load);
      let group = groups.get(one);
      if (group?.options !== options) {
        group = { parts: one.parts, options, fed: this.fed(one.load) };
        groups.set(one, group);
      }
      return group;
    });
  }

  /** Currents of a load. */
  optionsOf(load: LoadId): readonly Option[] {
    return this.currentsOf(load).options;
  }

  /** The same with what was worked out about them. */
  currentsOf(load: LoadId): LoadCurrents {
    const known = this.currents[load];
    if (known !== undefined) return known;
    const { work, frame } = this;
    const tree = this.view.sets.trees[load]!;
    const one = work.circuit.machine.loads[load]!;
    let currents = frame.currents[load];
    if (!currents?.isOf(work, one, tree)) frame.currents[load] = currents = new LoadCurrents(work, one, tree);
    return (this.currents[load] = currents);
  }

  /** Current of a contact, one arrangement of contacts at a time. */
  private refineContact(
    contact: ContactId,
    set: StateSet,
    range: Range,
    bound: number,
    effort: Effort,
    only: ShareOf | undefined,
  ): void {
    const { work } = this;
    const { space } = work;
    const { diagrams } = space;
    const near = this.near(contact);
    for (let left = set; left !== EMPTY && !isWide(range, bound); ) {
      if (effort.looks-- <= 0) {
        cut(range, bound);
        return;
      }
      const state = space.some(left);
      const same = diagrams.and(left, lookAlikes(work, near, state));
      keep(range, this.amps(contact, state, only), { set: same, before: EMPTY });
      left = diagrams.minus(left, same);
    }
  }

  private amps(contact: ContactId, state: MachineState, only: ShareOf | undefined): number {
    if (only === undefined) return this.solved(contact, state);
    return shareOf(solveState(this.work.circuit, state), contact, only);
  }

  /** Values of a load that the engine did not keep apart, solved one arrangement at a time. */
  private refineLoad(of: LoadQuantity, load: LoadId, set: StateSet, range: Range, bound: number, effort: Effort): void {
    const { work } = this;
    const { circuit, space } = work;
    const near = this.nearLoad(load);
    for (let left = set; left !== EMPTY && !isWide(range, bound); ) {
      if (effort.looks-- <= 0) {
        cut(range, bound);
        return;
      }
      const state = space.some(left);
      const { loadVolts, loadAmps, loadWatts } = solveState(circuit, state);
      const value =
        of === "load-volts"
          ? Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!)
          : of === "load-amps"
            ? Math.hypot(loadAmps.re[load]!, loadAmps.im[load]!)
            : loadWatts[load]!;
      const alike = space.diagrams.and(left, lookAlikes(work, near, state));
      keep(range, value, { set: alike, before: EMPTY });
      left = space.diagrams.minus(left, alike);
    }
  }
}

/** Those loads of a side whose current is asked for. */
export function loadsThatCount({ loads }: Side, only: ShareOf | undefined): Side["loads"] {
  return only ? loads.filter(({ load }) => only.includes(load)) : loads;
}
