/** What contacts break over all steps: current just before, volts across just after (MEANING.md, 19). */
import { solveState } from "../../circuit/solve.ts";
import type { ContactId } from "../../machine/machine.ts";
import type { Extremes, ShareOf } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { extremesOf, type SteadyExtremes } from "./extremes.ts";
import { isSpecial } from "./flow.ts";
import { MOST_REGIONS } from "./frames.ts";
import { lookAlikes } from "./looks.ts";
import { cut, type Effort, emptyRange, isWide, keep, type Range, type Where } from "./range.ts";
import { type Case, SumSearch } from "./search.ts";
import type { Steps } from "./steps.ts";
import { VoltagePaths } from "./voltage-paths.ts";

export class BreakExtremes {
  private readonly steady: SteadyExtremes;
  private readonly steps: Steps;

  constructor(steady: SteadyExtremes, steps: Steps) {
    this.steady = steady;
    this.steps = steps;
  }

  amps(contact: ContactId, care: StateSet, only?: ShareOf): Extremes {
    const { work } = this.steady;
    const { diagrams } = work.space;
    const closed = work.closed[contact]!;
    const open = diagrams.not(closed);
    const steps = this.steps.of(contact, care);
    let before: StateSet = EMPTY;
    for (const step of steps) {
      const from = diagrams.and(diagrams.and(step.before, closed), diagrams.move(open, step.back));
      before = diagrams.or(before, from);
    }
    return extremesOf(work, this.steady.carries(contact, before, only), ({ set }) => ({ steps, from: set, to: open }));
  }

  volts(contact: ContactId, care: StateSet): Extremes {
    return this.steady.pool.run((effort) => this.voltsWith(contact, care, effort));
  }

  private voltsWith(contact: ContactId, care: StateSet, effort: Effort): Extremes {
    const { work, shorted } = this.steady;
    const { live } = work;
    const { diagrams } = work.space;
    const closed = work.closed[contact]!;
    const steps = this.steps.of(contact, care);
    let after: StateSet = EMPTY;
    for (const step of steps)
      after = diagrams.or(after, diagrams.move(diagrams.and(step.before, closed), step.relation));
    after = diagrams.minus(diagrams.minus(after, closed), shorted);
    const range = emptyRange();
    const dead = diagrams.minus(after, live);
    if (dead !== EMPTY) keep(range, 0, { set: dead, before: EMPTY });
    const fed = diagrams.and(after, live);
    if (fed !== EMPTY && isSpecial(work)) this.byLook(contact, fed, range, effort, 0, Infinity);
    else if (fed !== EMPTY) {
      const cases = this.casesOf(contact, fed);
      const where = { set: fed, before: EMPTY };
      const byLook = (some: Where, into: Range, bound: number): void =>
        this.byLook(contact, some.set, into, effort, 0, bound);
      new SumSearch(diagrams, work.searches, effort).cases(where, cases, this.steady.view.sets.trees, range, byLook);
    }
    return extremesOf(work, range, ({ set }) => ({ steps, from: closed, to: set }));
  }

  /** Volts across the contact as sums. */
  private casesOf(contact: ContactId, fed: StateSet): readonly Case[] {
    const { work, frame } = this.steady;
    const { contactA, contactB } = work.circuit;
    let known = frame.between.get(contact);
    if (known === undefined) frame.between.set(contact, (known = new Map()));
    let cases = known.get(fed);
    if (cases === undefined) {
      frame.paths ??= new VoltagePaths(work, (load) => this.steady.fed(load));
      if (known.size >= MOST_REGIONS) known.clear();
      known.set(fed, (cases = frame.paths.between(contactA[contact]!, contactB[contact]!, fed)));
    }
    return cases;
  }

  private byLook(contact: ContactId, set: StateSet, range: Range, effort: Effort, least: number, most: number): void {
    const { work } = this.steady;
    const { circuit, space } = work;
    const near = this.steady.near(contact);
    const a = circuit.contactA[contact]!;
    const b = circuit.contactB[contact]!;
    for (let left = set; left !== EMPTY && !isWide(range, most, least); ) {
      if (effort.looks-- <= 0) {
        cut(range, most, least);
        return;
      }
      const state = space.some(left);
      const { re, im } = solveState(circuit, state).joints;
      const alike = space.diagrams.and(left, lookAlikes(work, near, state));
      keep(range, Math.hypot(re[a]! - re[b]!, im[a]! - im[b]!), { set: alike, before: EMPTY });
      left = space.diagrams.minus(left, alike);
    }
  }
}
