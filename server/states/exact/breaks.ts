/** What contacts break over all steps: current just before, volts across just after (MEANING.md, 19). */
import { solveState } from "../../circuit/solve.ts";
import type { ContactId } from "../../machine/machine.ts";
import type { Extremes, ShareOf } from "../engine.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { SteadyExtremes } from "./extremes.ts";
import { isSpecial } from "./flow.ts";
import type { LoadTree } from "./load-tree.ts";
import { lookAlikes } from "./looks.ts";
import { cut, type Effort, emptyRange, isWide, keep, type Range, type Where } from "./range.ts";
import { type Case, SumSearch } from "./search.ts";
import { extremesOf } from "./shown-extremes.ts";
import type { Steps } from "./steps.ts";

/** Volts of an end of a contact while `set` holds: a phasor and, where that varies, a tree. */
interface End {
  readonly set: StateSet;
  readonly re: number;
  readonly im: number;
  readonly volts?: LoadTree;
}

export class BreakExtremes {
  private readonly steady: SteadyExtremes;
  private readonly steps: Steps;
  /** By the trees of two places: the most volts between them. */
  private readonly mosts = new Map<string, number>();

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
      search.cases({ set: fed, before: EMPTY }, this.across(contact, fed, effort), range, byLook);
    }
    return extremesOf(work, range, ({ set }) => ({ steps, from: closed, to: set }));
  }

  /** Volts across the contact in states of `where`: those of its first end less those of its second. */
  private across(contact: ContactId, where: StateSet, effort: Effort): readonly Case[] {
    const { work, reached, joints } = this.steady;
    const { circuit } = work;
    const { diagrams } = work.space;
    const { contactA, contactB, legJoint, legRe, legIm } = circuit;
    const ends = [contactA[contact]!, contactB[contact]!].map((joint): readonly End[] => {
      const leg = legJoint.indexOf(joint);
      if (leg >= 0) return [{ set: FULL, re: legRe[leg]!, im: legIm[leg]! }];
      const told = joints.of(joint).map(({ set, volts }): End => {
        const { shape } = volts;
        // Volts that the budget left open count as a tree.
        const always = shape.root < 0 ? volts.phasorAt(shape.root) : undefined;
        return always === undefined ? { set, re: 0, im: 0, volts } : { set, ...always };
      });
      const floats = told.reduce((rest, { set }) => diagrams.minus(rest, set), FULL);
      return [...told, { set: floats, re: 0, im: 0 }];
    });
    const anywhere = diagrams.and(work.live, diagrams.or(reached.atRest, reached.passing));
    const cases: Case[] = [];
    for (const a of ends[0]!)
      for (const b of ends[1]!) {
        const within = diagrams.and(a.set, b.set);
        if (within === EMPTY || !diagrams.meets(where, within)) continue;
        const adds: Case["adds"][number][] = [];
        // What the budget left open looks alike and may differ.
        if (a.volts !== b.volts || a.volts?.rootMost === Infinity) {
          if (a.volts) adds.push({ volts: a.volts, yRe: 1, yIm: 0, fed: FULL });
          if (b.volts) adds.push({ volts: b.volts, yRe: -1, yIm: 0, fed: FULL });
        }
        const one = { re: a.re - b.re, im: a.im - b.im, adds, within };
        const isBounded = adds.length > 1 && diagrams.isSubset(where, anywhere);
        cases.push(isBounded ? { ...one, most: () => this.mostOf(one, anywhere, effort) } : one);
      }
    return cases;
  }

  /** The most volts between the two places in any state: contacts of one chain ask for the same. */
  private mostOf(one: Case, anywhere: StateSet, effort: Effort): number {
    const key = one.adds.map(({ volts }) => volts.shape.number).join(" ");
    let most = this.mosts.get(key);
    if (most === undefined) {
      const range = emptyRange();
      // What the search does not tell it may have missed.
      const unknown = (_: Where, into: Range): void => cut(into, Infinity);
      const all: Case = { ...one, within: FULL };
      const search = new SumSearch(this.steady.work.space.diagrams, this.steady.work.searches, effort);
      search.largest({ set: anywhere, before: EMPTY }, all, range, unknown);
      most = Math.max(range.largest?.value ?? 0, range.cutAbove);
      this.mosts.set(key, most);
    }
    return most;
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
