/**
 * What contacts make over all steps: the current in the first moment, loads that start with the step at their inrush
 * (MEANING.md, 19). States come in pairs: whether a load starts depends on the state before.
 */
import { contactAmps } from "../../circuit/measure.ts";
import { shareOf } from "../../circuit/share.ts";
import { solveState } from "../../circuit/solve.ts";
import type { ContactId, LoadId } from "../../machine/machine.ts";
import type { Extremes, ShareOf } from "../engine.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import { energyBound } from "./energy-bound.ts";
import { extremesOf, loadsThatCount, type SteadyExtremes } from "./extremes.ts";
import type { Side } from "./flow.ts";
import { lookAlikes, type Neighbourhood } from "./looks.ts";
import { admittance, mostOfOptions, type Option } from "./options.ts";
import { cut, type Effort, emptyRange, isWide, keep, type Range, restrict, type Where } from "./range.ts";
import { type Group, SumSearch } from "./search.ts";
import type { SomeStep, Step, Steps } from "./steps.ts";
import { WEAK } from "./values.ts";

export class MakeExtremes {
  private readonly steady: SteadyExtremes;
  private readonly steps: Steps;
  private readonly differs: (StateSet | undefined)[] = [];
  private readonly tied: (StateSet | undefined)[] = [];
  private readonly optionsOf: (readonly Option[] | undefined)[] = [];

  private readonly mosts: (number | undefined)[] = [];
  private readonly upset = new Map<Neighbourhood, readonly number[]>();
  private readonly starting = new Map<Neighbourhood, readonly number[]>();
  private readonly groupOf = new Map<Side["loads"][number], Group>();

  constructor(steady: SteadyExtremes, steps: Steps) {
    this.steady = steady;
    this.steps = steps;
  }

  /** What decides in which states loads near a contact upset each other as they start, as numbers. */
  startingNear(contact: ContactId): readonly number[] {
    const near = this.steady.near(contact);
    let decides = this.starting.get(near);
    if (decides === undefined) {
      decides = near.loads.flatMap((load) => {
        const differs = this.inrushDiffers(load);
        return differs === EMPTY ? [] : [load, differs, this.steady.view.atLeast(load, WEAK)];
      });
      this.starting.set(near, decides);
    }
    return decides;
  }

  /** What a contact makes at most in any state, A: see `SteadyExtremes.mostCarried`. */
  most(contact: ContactId): number {
    const { steady } = this;
    const calm = steady.mostSummed(contact, (load) => (this.mosts[load] ??= mostOfOptions(this.optionsFor(load))));
    return Math.max(calm, this.mostUpset(contact));
  }

  /** The same where loads near by upset each other as they start; 0: they never do. */
  private mostUpset(contact: ContactId): number {
    const near = this.steady.near(contact);
    let amps = this.upset.get(near);
    if (amps === undefined) this.upset.set(near, (amps = this.upsetAmps(near)));
    if (amps.length === 0) return 0;
    return this.steady.mostSummed(contact, (load) => amps[load]!);
  }

  /** By load id, for those of a neighbourhood, the most that they draw while others start; empty when none upset another. */
  private upsetAmps(near: Neighbourhood): number[] {
    const { work } = this.steady;
    const { circuit } = work;
    const { machine } = circuit;
    if (near.loads.every((load) => this.exposed(load) === EMPTY)) return [];
    const volts = Math.max(
      ...Array.from(circuit.legRe, (re, a) =>
        Math.max(
          ...Array.from(circuit.legRe, (other, b) => Math.hypot(re - other, circuit.legIm[a]! - circuit.legIm[b]!)),
        ),
      ),
    );
    const impedances = near.loads.map((load) => [...machine.loads[load]!.impedance, machine.loads[load]!.inrush]);
    const amps: number[] = [];
    energyBound(impedances, volts).forEach((most, index) => {
      amps[near.loads[index]!] = most;
    });
    return amps;
  }

  /** @param only loads that alone count */
  amps(contact: ContactId, care: StateSet, only?: ShareOf): Extremes {
    return this.steady.pool.run((effort) => this.ampsWith(contact, care, effort, only));
  }

  private ampsWith(contact: ContactId, care: StateSet, effort: Effort, only?: ShareOf): Extremes {
    const { work, shorted } = this.steady;
    const { diagrams } = work.space;
    const closed = work.closed[contact]!;
    const range = emptyRange();
    const shown: { smallest?: Step; largest?: Step } = {};
    for (const step of this.steps.of(contact, care)) {
      const before = diagrams.minus(step.before, closed);
      const moved = diagrams.and(diagrams.move(before, step.relation), closed);
      const set = diagrams.minus(moved, shorted);
      if (set === EMPTY) continue;
      const { smallest, largest } = range;
      this.ofStep(contact, step, { set, before }, range, effort, only);
      if (range.smallest !== smallest) shown.smallest = step;
      if (range.largest !== largest) shown.largest = step;
    }
    const pair =
      (step: Step | undefined) =>
      ({ before, set }: Where): SomeStep => ({ steps: [step!], from: before, to: set });
    const most = extremesOf(work, { ...range, smallest: undefined }, pair(shown.largest));
    const least = extremesOf(work, { ...range, largest: undefined }, pair(shown.smallest));
    const { exact, bound } = extremesOf(work, range);
    return { smallest: least.smallest, largest: most.largest, exact, ...(bound !== undefined && { bound }) };
  }

  private ofStep(
    contact: ContactId,
    step: Step,
    pairs: Where,
    range: Range,
    effort: Effort,
    only: ShareOf | undefined,
  ): void {
    const { work } = this.steady;
    const { live } = work;
    const { diagrams } = work.space;
    const dead = diagrams.minus(pairs.set, live);
    if (dead !== EMPTY) keep(range, 0, { set: dead, before: pairs.before });
    const fed: Where = { set: diagrams.and(pairs.set, live), before: pairs.before };
    if (fed.set === EMPTY) return;
    const near = this.steady.near(contact);
    const flow = this.steady.flow(contact);
    const byLook = (where: Where, into: Range, bound: number): void =>
      this.byLook(contact, step, where, into, bound, effort, only);
    const search = new SumSearch(diagrams, work.searches, effort, step.relation);
    const upset = this.upsetBy(near.loads, step, fed);
    const calm = diagrams.minus(fed.set, upset);
    for (const side of flow.sides) {
      const set = diagrams.and(calm, side.where);
      if (set === EMPTY) continue;
      const groups = loadsThatCount(side, only).map((one) => this.groupFor(one));
      search.run({ set, before: fed.before }, groups, range, byLook);
    }
    // Where loads upset each other their sum still has a bound, which hangs on everything near by.
    const summed = diagrams.minus(diagrams.and(fed.set, upset), flow.untold);
    if (summed !== EMPTY) {
      effort.near = true;
      const bound = flow.untold === EMPTY ? this.mostUpset(contact) : Infinity;
      byLook({ set: summed, before: fed.before }, range, bound);
    }
    const untold = diagrams.and(fed.set, flow.untold);
    if (untold !== EMPTY) byLook({ set: untold, before: fed.before }, range, Infinity);
    // Of a load that the budget left open it is not known when it starts.
    const { open } = this.steady.view.sets;
    if (near.loads.some((load) => open.includes(load) && this.inrushDiffers(load) !== EMPTY)) cut(range, Infinity);
  }

  private groupFor(one: Side["loads"][number]): Group {
    let group = this.groupOf.get(one);
    if (group === undefined) {
      group = { parts: one.parts, options: this.optionsFor(one.load), fed: this.steady.fed(one.load) };
      this.groupOf.set(one, group);
    }
    return group;
  }

  private optionsFor(load: LoadId): readonly Option[] {
    return (this.optionsOf[load] ??= this.options(load));
  }

  /** Currents of a load: at its inrush when it was off before and starts with another impedance. */
  private options(load: LoadId): readonly Option[] {
    const { work, view } = this.steady;
    const { diagrams } = work.space;
    const { inrush } = work.circuit.machine.loads[load]!;
    const steady = this.steady.optionsOf(load);
    const weak = view.atLeast(load, WEAK);
    const differs = diagrams.and(this.inrushDiffers(load), weak);
    if (inrush === undefined || differs === EMPTY) return steady;
    const starting = { volts: view.sets.trees[load]!, ...admittance(inrush) };
    return [
      ...steady.flatMap((option): Option[] => [
        { ...option, set: diagrams.minus(option.set, differs) },
        { ...option, set: diagrams.and(option.set, differs), before: weak },
      ]),
      { ...starting, set: differs, before: diagrams.not(weak) },
    ];
  }

  /** States after the step in which some load may start with another impedance while others are in series with it. */
  private upsetBy(loads: readonly LoadId[], step: Step, { before }: Where): StateSet {
    const { work, view } = this.steady;
    const { diagrams } = work.space;
    let upset: StateSet = EMPTY;
    for (const load of loads) {
      const exposed = this.exposed(load);
      if (exposed === EMPTY) continue;
      const weak = view.atLeast(load, WEAK);
      const wasOff = diagrams.move(diagrams.minus(before, weak), step.relation);
      upset = diagrams.or(upset, diagrams.and(exposed, wasOff));
    }
    return upset;
  }

  /** States in which the load has volts that hang on others, and starts with another impedance than it has. */
  private exposed(load: LoadId): StateSet {
    const { diagrams } = this.steady.work.space;
    const differs = this.inrushDiffers(load);
    if (differs === EMPTY) return EMPTY;
    const weak = this.steady.view.atLeast(load, WEAK);
    return diagrams.minus(diagrams.and(weak, differs), this.tiedBothEnds(load));
  }

  /** States in which the load's inrush impedance is another than the one it has. */
  private inrushDiffers(load: LoadId): StateSet {
    const known = this.differs[load];
    if (known !== undefined) return known;
    const { space, circuit } = this.steady.work;
    const { inrush, impedance, control } = circuit.machine.loads[load]!;
    const other = impedance.map((z) => (inrush && z && (z.re !== inrush.re || z.im !== inrush.im) ? 1 : 0));
    const set =
      control === undefined || impedance.length === 1
        ? other[0] === 1
          ? FULL
          : EMPTY
        : space.literal({ control, positions: Uint8Array.from(other) });
    return (this.differs[load] = set);
  }

  /** States in which both ends of the load are tied to legs: nothing in series with it changes its volts. */
  private tiedBothEnds(load: LoadId): StateSet {
    const { space, circuit, legReach } = this.steady.work;
    const { diagrams } = space;
    const tied = (joint: number): StateSet => legReach.reduce((set, reach) => diagrams.or(set, reach[joint]!), EMPTY);
    return (this.tied[load] ??= diagrams.and(tied(circuit.loadA[load]!), tied(circuit.loadB[load]!)));
  }

  /** One arrangement of contacts and of loads that start at a time. */
  private byLook(
    contact: ContactId,
    step: Step,
    where: Where,
    range: Range,
    bound: number,
    effort: Effort,
    only: ShareOf | undefined,
  ): void {
    const { work, view } = this.steady;
    const { space, circuit } = work;
    const { diagrams } = space;
    const near = this.steady.near(contact);
    const starters = near.loads.filter((load) => this.inrushDiffers(load) !== EMPTY);
    /** Splits the pairs by which loads start, then solves one of each. */
    const split = (pairs: Where, i: number, starting: LoadId[]): void => {
      if (i === starters.length) {
        const pair = this.steps.one([step], pairs.before, pairs.set)!;
        const moment = { at: "inrush", loads: starting } as const;
        const solution = solveState(circuit, pair.state, { moment });
        keep(range, only ? shareOf(solution, contact, only) : contactAmps(solution, contact), pairs);
        return;
      }
      const load = starters[i]!;
      const weak = view.atLeast(load, WEAK);
      const starts = restrict(diagrams, step.relation, pairs, weak, diagrams.not(weak));
      if (starts !== undefined) split(starts, i + 1, [...starting, load]);
      const runs = restrict(diagrams, step.relation, pairs, weak, weak);
      if (runs !== undefined) split(runs, i + 1, starting);
      const none = diagrams.minus(pairs.set, weak);
      if (none !== EMPTY) split({ set: none, before: pairs.before }, i + 1, starting);
    };
    for (let left = where.set; left !== EMPTY && !isWide(range, bound); ) {
      if (effort.looks-- <= 0) {
        cut(range, bound);
        return;
      }
      const state = space.some(left);
      const alike = diagrams.and(left, lookAlikes(work, near, state));
      split({ set: alike, before: where.before }, 0, []);
      left = diagrams.minus(left, alike);
    }
  }
}
