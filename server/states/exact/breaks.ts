/** What contacts break over all steps: current just before, volts across just after (MEANING.md, 19). */
import { solveState } from "../../circuit/solve.ts";
import type { ContactId } from "../../machine/machine.ts";
import type { Extremes } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { extremesOf, type SteadyExtremes } from "./extremes.ts";
import { isSpecial } from "./flow.ts";
import { lookAlikes } from "./looks.ts";
import { type Potential, Potentials } from "./potentials.ts";
import { cut, type Effort, emptyRange, isWide, keep, type Range } from "./search.ts";
import type { Steps } from "./steps.ts";

export class BreakExtremes {
  private readonly steady: SteadyExtremes;
  private readonly steps: Steps;
  private potentials: Potentials | undefined;

  constructor(steady: SteadyExtremes, steps: Steps) {
    this.steady = steady;
    this.steps = steps;
  }

  amps(contact: ContactId, care: StateSet): Extremes {
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
    return extremesOf(work, this.steady.carries(contact, before), ({ set }) => this.steps.one(steps, set, open)!);
  }

  volts(contact: ContactId, care: StateSet): Extremes {
    return this.steady.pool.run((effort) => this.voltsWith(contact, care, effort));
  }

  private voltsWith(contact: ContactId, care: StateSet, effort: Effort): Extremes {
    const { work, shorted } = this.steady;
    const { circuit, live } = work;
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
      this.potentials ??= new Potentials(work, this.steady.view.sets);
      const pairs: { a: Potential; b: Potential; least: number; most: number }[] = [];
      const ends = this.potentials.of(circuit.contactB[contact]!);
      for (const a of this.potentials.of(circuit.contactA[contact]!)) {
        for (const b of ends) {
          const volts = Math.hypot(a.re - b.re, a.im - b.im);
          const radius = a.radius + b.radius;
          if (Number.isNaN(volts)) pairs.push({ a, b, least: 0, most: Infinity });
          else pairs.push({ a, b, least: volts < 1e-9 ? 0 : Math.max(0, volts - radius), most: volts + radius });
        }
      }
      // What is known exactly comes first: it tells which of the others matter at all.
      const isExact = ({ a, b }: (typeof pairs)[number]): boolean => a.radius === 0 && b.radius === 0;
      const unsure: { set: StateSet; least: number; most: number }[] = [];
      for (const pair of pairs.sort((x, y) => (isExact(x) ? 0 : 1) - (isExact(y) ? 0 : 1) || y.most - x.most)) {
        if (isWide(range, pair.most, pair.least)) continue;
        const set = diagrams.and(diagrams.and(fed, pair.a.set), pair.b.set);
        if (set === EMPTY) continue;
        if (isExact(pair) && pair.most < Infinity) keep(range, pair.least, { set, before: EMPTY });
        else unsure.push({ set, least: pair.least, most: pair.most });
      }
      for (const { set, least, most } of unsure) this.byLook(contact, set, range, effort, least, most);
    }
    return extremesOf(work, range, ({ set }) => this.steps.one(steps, closed, set)!);
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
