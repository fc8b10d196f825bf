/** What contacts make and break over all steps (MEANING.md, 19). */
import { solveState } from "../../circuit/solve.ts";
import type { ContactId, LoadId, MachineState } from "../../machine/machine.ts";
import type { Extremes } from "../engine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { cut, extremesOf, MOST_LOOKS, MOST_VISITS, type SteadyExtremes } from "./extremes.ts";
import { lookAlikes, neighbourhood } from "./looks.ts";
import { Potentials } from "./potentials.ts";
import { emptyRange, keep, type Option, type Range, SumSearch } from "./search.ts";
import { type Step, stepsFrom } from "./steps.ts";
import { WEAK } from "./values.ts";

/** States after a step (whatever the control's position), and the step. */
interface Pair {
  readonly set: StateSet;
  readonly step: Step;
  readonly from: number;
  readonly to: number;
}

export class StepExtremes {
  private readonly steady: SteadyExtremes;
  private readonly steps = new Map<StateSet, Step[]>();
  private potentials: Potentials | undefined;

  constructor(steady: SteadyExtremes) {
    this.steady = steady;
  }

  breaks(contact: ContactId, care: StateSet): Extremes {
    const { work } = this.steady;
    const { space, closed } = work;
    const { diagrams } = space;
    const open = diagrams.not(closed[contact]!);
    let before: StateSet = EMPTY;
    const steps = this.stepsOf(contact, care);
    for (const step of steps)
      before = diagrams.or(
        before,
        diagrams.and(diagrams.and(step.before, closed[contact]!), diagrams.move(open, step.back)),
      );
    return extremesOf(work, this.steady.carries(contact, before), (set) => this.stepFrom(steps, set, open));
  }

  breaksVolts(contact: ContactId, care: StateSet): Extremes {
    const { work, shorted } = this.steady;
    const { space, closed, circuit } = work;
    const { diagrams } = space;
    const steps = this.stepsOf(contact, care);
    let after: StateSet = EMPTY;
    for (const step of steps)
      after = diagrams.or(after, diagrams.move(diagrams.and(step.before, closed[contact]!), step.relation));
    after = diagrams.minus(diagrams.minus(after, closed[contact]!), shorted);
    const range = emptyRange();
    const dead = diagrams.minus(after, work.live);
    if (dead !== EMPTY) keep(range, 0, dead);
    const fed = diagrams.and(after, work.live);
    if (fed !== EMPTY && !this.simple()) this.voltsByLook(contact, fed, range);
    else if (fed !== EMPTY) {
      this.potentials ??= new Potentials(work, this.steady.view.sets);
      for (const a of this.potentials.of(circuit.contactA[contact]!, fed)) {
        for (const b of this.potentials.of(circuit.contactB[contact]!, a.set)) {
          const volts = Math.hypot(a.re - b.re, a.im - b.im);
          if (Number.isNaN(volts)) this.voltsByLook(contact, b.set, range);
          else keep(range, volts < 1e-9 ? 0 : volts, b.set);
        }
      }
    }
    return extremesOf(work, range, (set) => this.stepTo(steps, set, closed[contact]!));
  }

  makes(contact: ContactId, care: StateSet): Extremes {
    const { work, shorted } = this.steady;
    const { space, closed } = work;
    const { diagrams } = space;
    const total = emptyRange();
    const shown: { smallest?: Pair; largest?: Pair } = {};
    const shut = closed[contact]!;
    const ceiling = this.ceiling(contact);
    const visits = { left: MOST_VISITS };
    for (const step of this.stepsOf(contact, care)) {
      const positions = step.to.length;
      const shutAt = Array.from({ length: positions }, (_, q) => space.fix(shut, step.control, q));
      for (let q = 0; q < positions; q++) {
        if (shutAt[q] === EMPTY) continue;
        const told = space.fix(diagrams.not(shorted), step.control, q);
        const possible = diagrams.and(shutAt[q]!, told);
        if (possible === EMPTY) continue;
        for (let p = 0; p < positions; p++) {
          if (step.to[p]![q] !== 1) continue;
          if (
            total.smallest?.value === 0 &&
            total.largest !== undefined &&
            total.largest.value >= ceiling * (1 - 1e-12)
          )
            break;
          const region = diagrams.and(diagrams.minus(space.fix(step.before, step.control, p), shutAt[p]!), possible);
          if (region === EMPTY) continue;
          const before = { smallest: total.smallest, largest: total.largest };
          this.makesPair(contact, step, p, q, region, total, visits);
          if (total.smallest !== before.smallest) shown.smallest = { set: total.smallest!.set, step, from: p, to: q };
          if (total.largest !== before.largest) shown.largest = { set: total.largest!.set, step, from: p, to: q };
        }
      }
    }
    const result = extremesOf(work, total);
    const pairOf = (which: "smallest" | "largest") => {
      const one = shown[which];
      const value = result[which];
      if (one === undefined || value === undefined) return undefined;
      const before = space.nearest(diagrams.and(one.set, space.at(one.step.control, one.from)))!;
      const state = before.slice();
      state[one.step.control] = one.to;
      return { value: value.value, state, before };
    };
    return { ...result, smallest: pairOf("smallest"), largest: pairOf("largest") };
  }

  /** Current as the contact closes by one control going from p to q; `region` does not depend on that control. */
  private makesPair(
    contact: ContactId,
    step: Step,
    from: number,
    to: number,
    region: StateSet,
    range: Range,
    visits: { left: number },
  ): void {
    const { work, view } = this.steady;
    const { space, circuit } = work;
    const { diagrams } = space;
    const { machine } = circuit;
    const after = (set: StateSet): StateSet => space.fix(set, step.control, to);
    const live = after(work.live);
    const dead = diagrams.minus(region, live);
    if (dead !== EMPTY) keep(range, 0, dead);
    const fed = diagrams.and(region, live);
    if (fed === EMPTY) return;
    const near = neighbourhood(work, [circuit.contactA[contact]!, circuit.contactB[contact]!]);
    const starting = (load: LoadId): StateSet =>
      diagrams.minus(after(view.atLeast(load, WEAK)), space.fix(view.atLeast(load, WEAK), step.control, from));
    const byLook = (set: StateSet, into: Range): void => {
      for (let left = set, looks = 0; left !== EMPTY; looks++) {
        if (looks >= MOST_LOOKS) {
          cut(into);
          return;
        }
        const state = space.nearest(left)!;
        state[step.control] = to;
        let alike = diagrams.and(left, after(lookAlikes(work, near, state)));
        const loads: LoadId[] = [];
        for (const load of near.loads) {
          if (machine.loads[load]!.inrush === undefined) continue;
          const starts = starting(load);
          if (space.has(starts, state)) {
            loads.push(load);
            alike = diagrams.and(alike, starts);
          } else alike = diagrams.minus(alike, starts);
        }
        const { re, im } = solveState(circuit, state, { moment: { at: "inrush", loads } }).contactAmps;
        keep(into, Math.hypot(re[contact]!, im[contact]!), alike);
        left = diagrams.minus(left, alike);
      }
    };
    const flow = this.steady.flow(contact);
    const search = new SumSearch(diagrams, byLook, visits.left);
    for (const side of flow.sides) {
      const where = diagrams.and(fed, after(side.where));
      if (where === EMPTY) continue;
      // Loads in series with others change each other's current when one of them has its inrush.
      let upset: StateSet = EMPTY;
      for (const load of near.loads) {
        const changes = this.inrushDiffers(load);
        if (changes === EMPTY) continue;
        const alone = after(this.alone(load));
        upset = diagrams.or(upset, diagrams.minus(diagrams.and(starting(load), after(changes)), alone));
      }
      const steadyRegion = diagrams.minus(where, upset);
      const groups = side.loads.map(({ load, plus, minus }): Option[] => {
        const inrush = machine.loads[load]!.inrush;
        const starts = inrush === undefined ? EMPTY : starting(load);
        const options: Option[] = [];
        for (const cell of view.ampsOf(load)) {
          const there = diagrams.and(after(cell.set), steadyRegion);
          if (there === EMPTY) continue;
          for (const [half, sign] of [
            [plus, 1],
            [minus, -1],
          ] as const) {
            const set = diagrams.and(there, after(half));
            if (set === EMPTY) continue;
            const first = diagrams.and(set, starts);
            const running = diagrams.minus(set, starts);
            if (running !== EMPTY)
              options.push({ re: sign * cell.re, im: sign * cell.im, hi: cell.hi, exact: cell.exact, set: running });
            if (first !== EMPTY && inrush !== undefined) {
              const square = inrush.re ** 2 + inrush.im ** 2;
              const vRe = work.values.re[cell.value]!;
              const vIm = work.values.im[cell.value]!;
              const re = (sign * (vRe * inrush.re + vIm * inrush.im)) / square;
              const im = (sign * (vIm * inrush.re - vRe * inrush.im)) / square;
              options.push({
                re,
                im,
                hi: work.values.hi[cell.value]! / Math.sqrt(square),
                exact: cell.exact,
                set: first,
              });
            }
          }
        }
        return options;
      });
      search.run(steadyRegion, groups, range);
      const odd = diagrams.and(where, upset);
      if (odd !== EMPTY) byLook(odd, range);
    }
    visits.left = search.visits;
    const mixed = diagrams.and(fed, after(flow.mixed));
    if (mixed !== EMPTY) byLook(mixed, range);
  }

  /** States in which the load's inrush impedance is another than the one it has. */
  private inrushDiffers(load: LoadId): StateSet {
    const { space, circuit } = this.steady.work;
    const { inrush, impedance, control } = circuit.machine.loads[load]!;
    if (inrush === undefined) return EMPTY;
    const other = impedance.map((z) => (z !== undefined && (z.re !== inrush.re || z.im !== inrush.im) ? 1 : 0));
    if (control === undefined || impedance.length === 1) return other[0] === 1 ? space.diagrams.not(EMPTY) : EMPTY;
    return space.literal({ control, positions: Uint8Array.from(other) });
  }

  /** States in which both ends of the load are tied to legs: nothing in series with it changes its volts. */
  private alone(load: LoadId): StateSet {
    const { space, circuit, legReach } = this.steady.work;
    const { diagrams } = space;
    const tied = (joint: number): StateSet =>
      legReach.reduce((set, reach) => diagrams.or(set, reach[joint]!), EMPTY);
    return diagrams.and(tied(circuit.loadA[load]!), tied(circuit.loadB[load]!));
  }

  /** No step makes more than all loads beside the contact together. */
  private ceiling(contact: ContactId): number {
    const { work, view } = this.steady;
    const flow = this.steady.flow(contact);
    if (flow.mixed !== EMPTY) return Infinity;
    const near = neighbourhood(work, [work.circuit.contactA[contact]!, work.circuit.contactB[contact]!]);
    for (const load of near.loads) {
      // In series with others, a load's inrush changes theirs beyond what they ever take by themselves.
      const changes = this.inrushDiffers(load);
      if (
        work.space.diagrams.minus(work.space.diagrams.and(view.atLeast(load, WEAK), changes), this.alone(load)) !==
        EMPTY
      )
        return Infinity;
    }
    let most = 0;
    for (const side of flow.sides) {
      let sum = 0;
      for (const { load } of side.loads) {
        const { inrush } = work.circuit.machine.loads[load]!;
        let largest = 0;
        for (const cell of view.ampsOf(load)) {
          largest = Math.max(largest, cell.hi);
          if (inrush !== undefined)
            largest = Math.max(largest, work.values.hi[cell.value]! / Math.hypot(inrush.re, inrush.im));
        }
        sum += largest;
      }
      most = Math.max(most, sum);
    }
    return most;
  }

  private simple(): boolean {
    const { machine } = this.steady.work.circuit;
    return (
      machine.transformers.length === 0 &&
      machine.contacts.every(({ ohms, leaks }) => ohms === 0 && !leaks) &&
      machine.loads.every(
        ({ kind, impedance }) =>
          kind !== "diode" && impedance.every((z) => z === undefined || z.re !== 0 || z.im !== 0),
      )
    );
  }

  private voltsByLook(contact: ContactId, set: StateSet, range: Range): void {
    const { work } = this.steady;
    const { circuit, space } = work;
    const near = neighbourhood(work, [circuit.contactA[contact]!, circuit.contactB[contact]!]);
    let left = set;
    for (let looks = 0; left !== EMPTY; looks++) {
      if (looks >= MOST_LOOKS) {
        cut(range);
        return;
      }
      const state = space.nearest(left)!;
      const { re, im } = solveState(circuit, state).joints;
      const a = circuit.contactA[contact]!;
      const b = circuit.contactB[contact]!;
      const alike = space.diagrams.and(left, lookAlikes(work, near, state));
      keep(range, Math.hypot(re[a]! - re[b]!, im[a]! - im[b]!), alike);
      left = space.diagrams.minus(left, alike);
    }
  }

  /** Steps of controls that move the contact. */
  private stepsOf(contact: ContactId, care: StateSet): Step[] {
    const { work, reached } = this.steady;
    let steps = this.steps.get(care);
    if (steps === undefined) this.steps.set(care, (steps = stepsFrom(work.space, reached, care)));
    const controls = new Set(
      work.circuit.machine.contacts[contact]!.closed.flatMap((term) => term.map(({ control }) => control)),
    );
    return steps.filter(({ control }) => controls.has(control));
  }

  /** A step from a state of `set` to one of `target`. */
  private stepFrom(
    steps: readonly Step[],
    set: StateSet,
    target: StateSet,
  ): { state: MachineState; before: MachineState } {
    const { space } = this.steady.work;
    const { diagrams } = space;
    for (const step of steps) {
      const from = diagrams.and(diagrams.and(step.before, set), diagrams.move(target, step.back));
      if (from === EMPTY) continue;
      const before = space.nearest(from)!;
      const state = before.slice();
      for (let q = 0; q < step.to.length; q++) {
        if (step.to[before[step.control]!]![q] !== 1) continue;
        state[step.control] = q;
        if (space.has(target, state)) return { state, before };
      }
    }
    throw new Error("a step without a state after it");
  }

  /** A step from a state of `source` to one of `set`. */
  private stepTo(
    steps: readonly Step[],
    set: StateSet,
    source: StateSet,
  ): { state: MachineState; before: MachineState } {
    const { space } = this.steady.work;
    const { diagrams } = space;
    for (const step of steps) {
      const from = diagrams.and(step.before, source);
      const to = diagrams.and(set, diagrams.move(from, step.relation));
      if (to === EMPTY) continue;
      const state = space.nearest(to)!;
      const before = state.slice();
      for (let p = 0; p < step.to.length; p++) {
        if (step.to[p]![state[step.control]!] !== 1) continue;
        before[step.control] = p;
        if (space.has(from, before)) return { state, before };
      }
    }
    throw new Error("a step without a state before it");
  }
}
