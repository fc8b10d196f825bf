/**
 * What loads are with the legs at other volts, told from the ends of their trees. Where no end has volts of a class, no state has, whether it
 * can be reached or not; and where every load that relays, motors and inputs go by is in the classes that it has now, the same
 * states can be reached as now. No engine for the other volts is needed then.
 */
import type { LoadId } from "../../machine/machine.ts";
import { decidingLoads } from "./deciding-loads.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import { isSpecial } from "./flow.ts";
import type { Legs } from "./island-solution.ts";
import { Kept } from "./kept.ts";
import type { LoadSets, LoadWork } from "./load-sets.ts";
import { doubles } from "./load-tree.ts";
import { Outcomes } from "./outcomes.ts";
import type { Reach } from "./reach.ts";
import { SLACK, WEAK, WORKS } from "./values.ts";

/** Answers kept: a few for each load, of some earlier texts too. */
const MOST_KEPT = 2_000;
/** Volts this near to the bound of a class, as a share, count on both sides of it: scaled volts may be off by rounding. */
const NEAR = 10 * SLACK;
/** Volts so many times the largest leg's are resonance, of which nothing is told by scaling. */
const RESONANT = 1_000;

type NumberedLegs = Legs & { readonly key: number };

/** What a load is at each end of its tree. */
interface AtEnds {
  /** Class at each end. */
  readonly classOf: Uint8Array;
  /** 1 where it is not the class at the volts as they are. */
  readonly otherClass: Uint8Array;
  /** 1 where the volts are not those as they are, in size and phase. */
  readonly otherVolts: Uint8Array;
  /** States of some classes, by their bits, as far as they are live. */
  readonly sets: Map<number, StateSet>;
}

export class OtherVoltsStore {
  /** "untold" where the class of some end is not told for sure. */
  readonly ends = new Kept<AtEnds | "untold">(MOST_KEPT);
}

/** True when legs that have the same volts still have, and no others do: circuits split alike then. */
function samePattern(a: Legs, b: Legs): boolean {
  return (
    a.re.length === b.re.length &&
    a.re.every((_, i) =>
      a.re.every(
        (_, k) => (a.re[i] === a.re[k] && a.im[i] === a.im[k]) === (b.re[i] === b.re[k] && b.im[i] === b.im[k]),
      ),
    )
  );
}

/** Number by which every leg's volts are those of the other legs; undefined where there is no such number. */
function scaleOf(legs: Legs, base: Legs): number | undefined {
  const largest = base.re.reduce(
    (best, re, leg) => (size(re, base.im[leg]!) > size(base.re[best]!, base.im[best]!) ? leg : best),
    0,
  );
  const by = size(legs.re[largest]!, legs.im[largest]!) / size(base.re[largest]!, base.im[largest]!);
  const near = (a: number, b: number): boolean => Math.abs(a - b * by) <= 1e-12 * Math.abs(b * by);
  const scaled = by > 0 && legs.re.every((re, leg) => near(re, base.re[leg]!) && near(legs.im[leg]!, base.im[leg]!));
  return scaled ? by : undefined;
}

function size(re: number, im: number): number {
  return Math.sqrt(re * re + im * im);
}

export class OtherVolts {
  private readonly store: OtherVoltsStore;
  private readonly work: LoadWork;
  private readonly loads: LoadSets;
  /** Ohms of contacts, leaks, diodes and the like: volts may not simply follow those of the legs. */
  private readonly special: boolean;
  /** Every state that comes up while what can be reached is worked out. */
  private readonly visited: StateSet;
  private readonly alike = new Map<number, boolean>();
  /** By numbers of legs: true when circuits split alike with them. */
  private readonly patterns = new Map<number, boolean>();

  constructor(store: OtherVoltsStore, work: LoadWork, loads: LoadSets, { atRest, passing, starting }: Reach) {
    const { diagrams } = work.space;
    this.visited = diagrams.or(atRest, diagrams.or(passing, starting));
    this.store = store;
    this.work = work;
    this.loads = loads;
    this.special = isSpecial(work);
  }

  /**
   * States, of those that can be reached with the legs as they are, in which the load is in one of the classes at the other volts. Undefined
   * where that is not told, or where other states might be reached then.
   *
   * @param classes bits: 0 off, 1 weak, 2 works, 3 over
   */
  states(load: LoadId, classes: number, legs: NumberedLegs): StateSet | undefined {
    if (this.work.circuit.machine.loads[load]!.ratedVolts === undefined) return undefined;
    const found = this.atEnds(load, legs);
    if (found === "untold") return undefined;
    const { classOf, sets } = found;
    const nowhereLive = !classOf.some((one) => (classes & (1 << one)) !== 0);
    // Where nothing is live every load is off.
    if (nowhereLive && (classes & 1) === 0) return EMPTY;
    if (!this.reachesTheSame(legs)) return undefined;
    let set = sets.get(classes);
    if (set === undefined) {
      const marked = classOf.map((one) => (classes & (1 << one)) >> one);
      sets.set(classes, (set = this.statesOf(load, marked)));
    }
    const { space, live } = this.work;
    const { diagrams } = space;
    return (classes & 1) === 0 ? diagrams.and(set, live) : diagrams.or(set, diagrams.not(live));
  }

  /** States of the ends marked 1. */
  private statesOf(load: LoadId, marked: Uint8Array): StateSet {
    if (!marked.includes(1)) return EMPTY;
    const { space, outcomes } = this.work;
    return new Outcomes(space.diagrams, outcomes, this.loads.trees[load]!.shape, marked).setOf(1);
  }

  /** True when whatever relays, motors and inputs go by is as it is at the volts as they are. */
  private reachesTheSame(legs: NumberedLegs): boolean {
    const known = this.alike.get(legs.key);
    if (known !== undefined) return known;
    const other = this.actsOtherwise(legs);
    const { space, live } = this.work;
    const alike = other !== undefined && !space.diagrams.meets(other, space.diagrams.and(this.visited, live));
    this.alike.set(legs.key, alike);
    return alike;
  }

  /** States in which something that decides is not as it is now; undefined where that is not told. */
  private actsOtherwise(legs: NumberedLegs): StateSet | undefined {
    const { circuit, space } = this.work;
    const { diagrams } = space;
    const { controls } = circuit.machine;
    let other: StateSet = EMPTY;
    const add = (load: LoadId, by: "otherClass" | "otherVolts", where: StateSet = FULL): boolean => {
      const found = this.atEnds(load, legs);
      if (found !== "untold") other = diagrams.or(other, diagrams.and(this.statesOf(load, found[by]), where));
      return found !== "untold";
    };
    if (![...decidingLoads(circuit.machine)].every((load) => add(load, "otherClass"))) return undefined;
    // Phases of windings stay as they are where all volts are scaled.
    const scaled = scaleOf(legs, this.work.legs) !== undefined;
    for (const { rule } of controls) {
      // What a coil of amps goes by is told above: its volts are known.
      if (rule?.rule === "current") add(rule.load, "otherVolts");
      if (rule?.rule !== "motor" || rule.starts.length === 0 || scaled) continue;
      // A torque is asked about in these states only.
      const windings = [...rule.mains, ...rule.starts];
      const turning = diagrams.and(this.any(windings, WORKS), this.any(rule.starts, WEAK));
      for (const load of windings) add(load, "otherVolts", turning);
    }
    return other;
  }

  /** States in which some load is at least in the class. */
  private any(loads: readonly LoadId[], least: number): StateSet {
    const { atLeast, cells } = this.loads;
    const { diagrams } = this.work.space;
    return loads.reduce((set, load) => diagrams.or(set, atLeast[least * cells.length + load]!), EMPTY as StateSet);
  }

  private atEnds(load: LoadId, legs: NumberedLegs): AtEnds | "untold" {
    const { work, loads, store } = this;
    if (this.special) return "untold";
    let tells = this.patterns.get(legs.key);
    if (tells === undefined) this.patterns.set(legs.key, (tells = samePattern(legs, work.legs)));
    if (!tells) return "untold";
    // What the load has is numbered, its kind and the legs among it.
    return store.ends.of([loads.contents[load]!, legs.key], () => this.workOut(load, legs));
  }

  private workOut(load: LoadId, legs: NumberedLegs): AtEnds | "untold" {
    const { types, typeOf, store, elements, legs: own } = this.work;
    const { shape, sizes, re, im } = this.loads.trees[load]!;
    const type = typeOf[load]!;
    const most = Math.max(...own.re.map((real, leg) => size(real, own.im[leg]!)));
    // The bound of a load without rated volts is a share of the largest leg's.
    const scale = scaleOf(legs, own);
    const largest = Math.max(...legs.re.map((real, leg) => size(real, legs.im[leg]!)));
    if (types.types[type]!.ratedVolts === undefined && largest !== most) return "untold";
    let newRe = re;
    let newIm = im;
    if (scale === undefined) {
      const [otherRe, otherIm] = [doubles(shape.ends.length), doubles(shape.ends.length)];
      store.leaves.read(shape.ends, elements, legs, types, otherRe, otherIm);
      newRe = otherRe;
      newIm = otherIm;
    }
    const classOf = new Uint8Array(shape.ends.length);
    const otherClass = new Uint8Array(classOf.length);
    const otherVolts = new Uint8Array(classOf.length);
    for (let end = 0; end < classOf.length; end++) {
      const volts = size(newRe[end]!, newIm[end]!) * (scale ?? 1);
      if (!(volts <= RESONANT * most)) return "untold";
      const one = types.classOf(type, volts * (1 - NEAR));
      if (one !== types.classOf(type, volts * (1 + NEAR))) return "untold";
      classOf[end] = one;
      otherClass[end] = one === types.classOf(type, sizes[end]!) ? 0 : 1;
      const apart = scale === undefined ? size(newRe[end]! - re[end]!, newIm[end]! - im[end]!) : volts;
      otherVolts[end] = apart <= 1e-12 * volts ? 0 : 1;
    }
    return { classOf, otherClass, otherVolts, sets: new Map() };
  }
}
