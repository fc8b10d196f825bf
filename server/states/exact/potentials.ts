/**
 * Volts of joints, as sets of states: legs are known, closed contacts carry a joint's volts on, a load adds its own. A joint that
 * nothing leads to floats and is at 0 V (MEANING.md, 19). Where a joint has many different volts they are put together: all
 * lie in a disc of the plane of phasors.
 */

import { EMPTY, type StateSet } from "./diagram.ts";
import { edgesAt } from "./edges-at.ts";
import type { LoadSets, LoadWork } from "./load-sets.ts";

/** More different volts than this of one joint are put together. */
const MOST_VOLTS = 5;

/** The volts of the states in `set` lie within `radius` of `re`, `im`. */
export interface Potential {
  readonly re: number;
  readonly im: number;
  readonly radius: number;
  readonly set: StateSet;
}

export class Potentials {
  private readonly work: LoadWork;
  private readonly cells: Potential[][];
  private readonly known: Int32Array;
  private readonly told: (readonly Potential[] | undefined)[] = [];

  constructor(work: LoadWork, loads: LoadSets) {
    this.work = work;
    const { circuit, space, values, closed, live } = work;
    const { diagrams } = space;
    const { machine } = circuit;
    this.cells = Array.from({ length: circuit.jointCount }, () => []);
    this.known = new Int32Array(circuit.jointCount).fill(EMPTY);
    const { contactsAt, loadsAt } = edgesAt(circuit);
    // Legs first: what contacts tie to a leg is at its volts, and most of all states are settled by that.
    const queue: number[] = [];
    for (let joint = 0; joint < circuit.jointCount; joint++) {
      for (let leg = 0; leg < circuit.legJoint.length; leg++)
        this.add(joint, circuit.legRe[leg]!, circuit.legIm[leg]!, 0, diagrams.and(live, work.legReach[leg]![joint]!));
      if (this.known[joint] !== EMPTY) queue.push(joint);
    }
    const conducts = machine.loads.map((load) => space.withImpedance(load, finite));
    const fed = loads.cells.map((cells) => {
      let set: StateSet = EMPTY;
      for (let i = 1; i < cells.length; i += 2) set = diagrams.or(set, cells[i]!);
      return set;
    });
    const volts = loads.cells.map((cells) => {
      const numbers = cells.filter((_, i) => i % 2 === 0);
      // Many different volts: one disc for all of them, they would be put together anyway.
      if (numbers.length <= MOST_VOLTS || numbers.some((value) => Number.isNaN(values.re[value]!))) return cells;
      let set: StateSet = EMPTY;
      for (let i = 1; i < cells.length; i += 2) set = diagrams.or(set, cells[i]!);
      return [values.stretch(numbers), set];
    });
    for (let joint = queue.shift(); joint !== undefined; joint = queue.shift()) {
      const here = this.cells[joint]!.slice();
      const carry = (other: number, re: number, im: number, radius: number, set: StateSet): void => {
        if (this.add(other, re, im, radius, set) && !queue.includes(other)) queue.push(other);
      };
      for (const id of contactsAt[joint]!) {
        const other = circuit.contactA[id] === joint ? circuit.contactB[id]! : circuit.contactA[id]!;
        const open = diagrams.minus(diagrams.and(this.known[joint]!, closed[id]!), this.known[other]!);
        if (open === EMPTY) continue;
        for (const { re, im, radius, set } of here) carry(other, re, im, radius, diagrams.and(set, open));
      }
      for (const id of loadsAt[joint]!) {
        const other = circuit.loadA[id] === joint ? circuit.loadB[id]! : circuit.loadA[id]!;
        const sign = circuit.loadA[id] === joint ? -1 : 1;
        const open = diagrams.minus(diagrams.and(this.known[joint]!, conducts[id]!), this.known[other]!);
        if (open === EMPTY) continue;
        const cells = volts[id]!;
        for (const { re, im, radius, set: all } of here) {
          const set = diagrams.and(all, open);
          if (set === EMPTY) continue;
          carry(other, re, im, radius, diagrams.minus(set, fed[id]!));
          for (let k = 0; k < cells.length; k += 2) {
            const both = diagrams.and(set, cells[k + 1]!);
            const value = cells[k]!;
            if (both !== EMPTY)
              carry(
                other,
                re + sign * values.re[value]!,
                im + sign * values.im[value]!,
                radius + values.radius[value]!,
                both,
              );
          }
        }
      }
    }
  }

  /** Volts of a joint, for all states with the supply on and no legs tied. What is not told is NaN. */
  of(joint: number): readonly Potential[] {
    const known = this.told[joint];
    if (known !== undefined) return known;
    const floating = this.work.space.diagrams.minus(this.work.live, this.known[joint]!);
    const cells = this.cells[joint]!;
    return (this.told[joint] = floating === EMPTY ? cells : [...cells, { re: 0, im: 0, radius: 0, set: floating }]);
  }

  /** Adds volts in states in which they are not known yet; true when there were any. */
  private add(joint: number, re: number, im: number, radius: number, all: StateSet): boolean {
    const { diagrams } = this.work.space;
    const set = diagrams.minus(all, this.known[joint]!);
    if (set === EMPTY) return false;
    this.known[joint] = diagrams.or(this.known[joint]!, set);
    const cells = this.cells[joint]!;
    const same = cells.findIndex(
      (cell) => cell.radius === radius && Math.abs(cell.re - re) < 1e-9 && Math.abs(cell.im - im) < 1e-9,
    );
    if (same >= 0) cells[same] = { ...cells[same]!, set: diagrams.or(cells[same]!.set, set) };
    else cells.push({ re, im, radius, set });
    if (cells.length > MOST_VOLTS) this.cells[joint] = this.together(cells);
    return true;
  }

  /** The legs' volts stay, the rest becomes one disc. */
  private together(cells: readonly Potential[]): Potential[] {
    const { circuit, space } = this.work;
    const isLeg = ({ re, im, radius }: Potential): boolean =>
      Number.isNaN(re) ||
      (radius === 0 && Array.from(circuit.legRe).some((v, leg) => Math.hypot(v - re, circuit.legIm[leg]! - im) < 1e-9));
    const rest = cells.filter((cell) => !isLeg(cell));
    const mid = (values: number[]): number => (Math.min(...values) + Math.max(...values)) / 2;
    const re = mid(rest.map((cell) => cell.re));
    const im = mid(rest.map((cell) => cell.im));
    let radius = 0;
    let set: StateSet = EMPTY;
    for (const cell of rest) {
      radius = Math.max(radius, Math.hypot(cell.re - re, cell.im - im) + cell.radius);
      set = space.diagrams.or(set, cell.set);
    }
    return [...cells.filter(isLeg), { re, im, radius, set }];
  }
}

function finite(z: { readonly re: number; readonly im: number } | undefined): boolean {
  return z !== undefined && Number.isFinite(z.re) && Number.isFinite(z.im);
}
