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
import { loadsThatCount, type SteadyExtremes } from "./extremes.ts";
import type { Side } from "./flow.ts";
import type { LoadCurrents, StartingCurrents } from "./load-currents.ts";
import { lookAlikes, type Neighbourhood } from "./looks.ts";
import type { MadeStep } from "./making.ts";
import { admittance, mostOfOptions, type Option } from "./options.ts";
import { cut, type Effort, emptyRange, isWide, keep, type Range, restrict, type Where } from "./range.ts";
import { type Group, SumSearch } from "./search.ts";
import { extremesOf } from "./shown-extremes.ts";
import type { SomeStep, Step, Steps } from "./steps.ts";
import { WEAK } from "./values.ts";

export class MakeExtremes {
  private readonly steady: SteadyExtremes;
  private readonly steps: Steps;
  private readonly upset = new Map<Neighbourhood, readonly number[]>();
  private readonly starting = new Map<Neighbourhood, readonly number[]>();

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
        const { differs } = this.startingOf(load);
        return differs === EMPTY ? [] : [load, differs, this.steady.view.atLeast(load, WEAK)];
      });
      this.starting.set(near, decides);
    }
    return decides;
  }

  /** What a contact makes at most in any state, A: see `SteadyExtremes.mostCarried`. */
  most(contact: ContactId): number {
    const { steady } = this;
    return Math.max(steady.mostSummed(contact, this.mostOf), this.mostUpset(contact));
  }

  private readonly mostOf = (load: LoadId): number => this.startingOf(load).most;

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
    if (near.loads.every((load) => this.startingOf(load).exposed === EMPTY)) return [];
    const { legRe, legIm } = circuit;
    let volts = 0;
    for (let a = 0; a < legRe.length; a++)
      for (let b = 0; b < a; b++) volts = Math.max(volts, Math.hypot(legRe[a]! - legRe[b]!, legIm[a]! - legIm[b]!));
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
    const range = emptyRange();
    let most: Step | undefined;
    let least: Step | undefined;
    for (const made of this.making(contact, care)) {
      const { smallest, largest } = range;
      this.ofStep(contact, made, range, effort, only);
      if (range.smallest !== smallest) least = made.step;
      if (range.largest !== largest) most = made.step;
    }
    const pair =
      (step: Step | undefined) =>
      ({ before, set }: Where): SomeStep => ({ steps: [step!], from: before, to: set });
    return extremesOf(this.steady.work, range, pair(most), pair(least));
  }

  /** Every step with which the contact makes. */
  private making(contact: ContactId, care: StateSet): readonly MadeStep[] {
    const { steady, steps } = this;
    const { closed } = steady.work.circuit.machine.contacts[contact]!;
    const key = [steps.number, care];
    for (const term of closed) for (const { control } of term) key.push(control);
    key.push(-1, ...this.startingNear(contact));
    const { making } = steady.frame;
    let known = making.get(contact);
    if (known === undefined || !sameNumbers(known.key, key)) {
      known = { key, steps: this.steps.of(contact, care).flatMap((step) => this.made(contact, step)) };
      making.set(contact, known);
    }
    return known.steps;
  }

  private made(contact: ContactId, step: Step): MadeStep[] {
    const { work, shorted } = this.steady;
    const { closed, live, space } = work;
    const { diagrams } = space;
    const before = diagrams.minus(step.before, closed[contact]!);
    const moved = diagrams.and(diagrams.move(before, step.relation), closed[contact]!);
    const after = diagrams.minus(moved, shorted);
    if (after === EMPTY) return [];
    const fed = diagrams.and(after, live);
    const flow = this.steady.flow(contact);
    const upset = fed === EMPTY ? EMPTY : this.upsetBy(this.steady.near(contact).loads, step, before);
    const calm = diagrams.minus(fed, upset);
    const sides = flow.sides
      .map(({ where }, side) => ({ side, set: diagrams.and(calm, where), asked: {} }))
      .filter(({ set }) => set !== EMPTY);
    return [
      {
        step,
        before,
        dead: diagrams.minus(after, live),
        sides,
        upset: diagrams.minus(diagrams.and(fed, upset), flow.untold),
        untold: diagrams.and(fed, flow.untold),
      },
    ];
  }

  private ofStep(contact: ContactId, made: MadeStep, range: Range, effort: Effort, only: ShareOf | undefined): void {
    const { work } = this.steady;
    const { step, before, dead, sides, upset, untold } = made;
    if (dead !== EMPTY) keep(range, 0, { set: dead, before });
    if (sides.length === 0 && upset === EMPTY && untold === EMPTY) return;
    const flow = this.steady.flow(contact);
    const byLook = (where: Where, into: Range, bound: number): void =>
      this.byLook(contact, step, where, into, bound, effort, only);
    const search = new SumSearch(work.space.diagrams, work.searches, effort, step.relation);
    for (const { side, set, asked } of sides) {
      const groups = this.groups(loadsThatCount(flow.sides[side]!, only));
      search.run({ set, before }, groups, range, byLook, only ? undefined : asked);
    }
    // Where loads upset each other their sum still has a bound, which hangs on everything near by.
    if (upset !== EMPTY) {
      effort.near = true;
      const bound = flow.untold === EMPTY ? this.mostUpset(contact) : Infinity;
      byLook({ set: upset, before }, range, bound);
    }
    if (untold !== EMPTY) byLook({ set: untold, before }, range, Infinity);
    // Of a load that the budget left open it is not known when it starts.
    const { open } = this.steady.view.sets;
    if (open.length === 0) return;
    const { loads } = this.steady.near(contact);
    if (loads.some((load) => open.includes(load) && this.startingOf(load).differs !== EMPTY)) cut(range, Infinity);
  }

  private groups(loads: Side["loads"]): Group[] {
    const { startingGroups } = this.steady.frame;
    return loads.map((one) => {
      const options = this.optionsOf(one.load);
      let group = startingGroups.get(one);
      if (group?.options !== options) {
        group = { parts: one.parts, options, fed: this.steady.fed(one.load) };
        startingGroups.set(one, group);
      }
      return group;
    });
  }

  private optionsOf(load: LoadId): readonly Option[] {
    const starting = this.startingOf(load);
    return (starting.options ??= this.options(load, starting.differs));
  }

  /** Currents of a load: at its inrush when it was off before and starts with another impedance. */
  private options(load: LoadId, whereInrushDiffers: StateSet): readonly Option[] {
    const { work, view } = this.steady;
    const { diagrams } = work.space;
    const { inrush } = work.circuit.machine.loads[load]!;
    const steady = this.steady.optionsOf(load);
    const weak = view.atLeast(load, WEAK);
    const differs = diagrams.and(whereInrushDiffers, weak);
    if (inrush === undefined || differs === EMPTY) return steady;
    const starting = { volts: view.sets.trees[load]!, ...admittance(inrush) };
    return [
      ...steady.flatMap(({ volts, yRe, yIm, set }): Option[] => [
        { volts, yRe, yIm, set: diagrams.minus(set, differs) },
        { volts, yRe, yIm, set: diagrams.and(set, differs), before: weak },
      ]),
      { ...starting, set: differs, before: diagrams.not(weak) },
    ];
  }

  private startingOf(load: LoadId): StartingCurrents {
    const currents = this.steady.currentsOf(load);
    return (currents.starting ??= this.starts(load, currents));
  }

  private starts(load: LoadId, currents: LoadCurrents): StartingCurrents {
    const { work, view } = this.steady;
    const { diagrams } = work.space;
    const { inrush } = work.circuit.machine.loads[load]!;
    const differs = this.inrushDiffers(load);
    const weak = diagrams.and(differs, view.atLeast(load, WEAK));
    if (inrush === undefined || weak === EMPTY) return { differs, exposed: EMPTY, most: currents.most() };
    const starting = { volts: view.sets.trees[load]!, ...admittance(inrush), set: weak };
    const exposed = diagrams.minus(weak, this.tiedBothEnds(load));
    return { differs, exposed, most: Math.max(currents.most(), mostOfOptions([starting])) };
  }

  /** States after the step in which some load may start with another impedance while others are in series with it. */
  private upsetBy(loads: readonly LoadId[], step: Step, before: StateSet): StateSet {
    const { work, view } = this.steady;
    const { diagrams } = work.space;
    let upset: StateSet = EMPTY;
    for (const load of loads) {
      const { exposed } = this.startingOf(load);
      if (exposed === EMPTY) continue;
      const weak = view.atLeast(load, WEAK);
      const wasOff = diagrams.move(diagrams.minus(before, weak), step.relation);
      upset = diagrams.or(upset, diagrams.and(exposed, wasOff));
    }
    return upset;
  }

  /** States in which the load's inrush impedance is another than the one it has. */
  private inrushDiffers(load: LoadId): StateSet {
    const { space, circuit } = this.steady.work;
    const { inrush, impedance, control } = circuit.machine.loads[load]!;
    const other = impedance.map((z) => (inrush && z && (z.re !== inrush.re || z.im !== inrush.im) ? 1 : 0));
    if (control === undefined || impedance.length === 1) return other[0] === 1 ? FULL : EMPTY;
    return space.literal({ control, positions: Uint8Array.from(other) });
  }

  /** States in which both ends of the load are tied to legs: nothing in series with it changes its volts. */
  private tiedBothEnds(load: LoadId): StateSet {
    const { space, circuit, legReach } = this.steady.work;
    const { diagrams } = space;
    const tied = (joint: number): StateSet => legReach.reduce((set, reach) => diagrams.or(set, reach[joint]!), EMPTY);
    return diagrams.and(tied(circuit.loadA[load]!), tied(circuit.loadB[load]!));
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
    const starters = near.loads.filter((load) => this.startingOf(load).differs !== EMPTY);
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

function sameNumbers(a: readonly number[], b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}
