/** What contacts break over all steps: current just before, volts across just after (MEANING.md, 19). */
import { solveState } from "../../circuit/solve.ts";
import type { ContactId } from "../../machine/machine.ts";
import type { Extremes, ShareOf } from "../engine.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import { extremesOf, type SteadyExtremes } from "./extremes.ts";
import { isSpecial } from "./flow.ts";
import { lookAlikes } from "./looks.ts";
import { cut, type Effort, emptyRange, isWide, keep, type Range, type Where } from "./range.ts";
import { type Case, SumSearch } from "./search.ts";
import type { Steps } from "./steps.ts";

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
      const byLook = (some: Where, into: Range, bound: number): void =>
        this.byLook(contact, some.set, into, effort, 0, bound);
      const search = new SumSearch(diagrams, work.searches, effort);
      search.cases({ set: fed, before: EMPTY }, [this.across(contact, effort)], range, byLook);
    }
    return extremesOf(work, range, ({ set }) => ({ steps, from: closed, to: set }));
  }

  /** Volts across the contact: those of its first end less those of its second. */
  private across(contact: ContactId, { piece }: Effort): Case {
    const { work, joints } = this.steady;
    const { circuit, zones } = work;
    const { contactA, contactB, legJoint, legRe, legIm } = circuit;
    let [re, im] = [0, 0];
    const adds: Case["adds"][number][] = [];
    const add = (joint: number, times: number): void => {
      const leg = legJoint.indexOf(joint);
      if (leg >= 0) {
        re += legRe[leg]! * times;
        im += legIm[leg]! * times;
        return;
      }
      const zone = zones.find(({ contacts }) => contacts.includes(contact))!;
      adds.push({ volts: joints.of(zone, joint, piece !== undefined), yRe: times, yIm: 0, fed: FULL });
    };
    if (contactA[contact] !== contactB[contact]) {
      add(contactA[contact]!, 1);
      add(contactB[contact]!, -1);
    }
    return { re, im, adds, within: FULL };
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
