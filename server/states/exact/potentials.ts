/**
 * Volts of joints, as sets of states: legs are known, closed contacts carry a joint's volts on, a load adds its own. A joint that
 * nothing leads to floats and is at 0 V (MEANING.md, 19).
 */
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { LoadSets, LoadWork } from "./load-sets.ts";
import { addCell } from "./pieces.ts";

export interface Potential {
  readonly re: number;
  readonly im: number;
  readonly set: StateSet;
}

export class Potentials {
  private readonly work: LoadWork;
  /** By joint: value (of `values`; -1 for 0 V), set, ... */
  private readonly cells: number[][];
  private readonly known: Int32Array;

  constructor(work: LoadWork, loads: LoadSets) {
    this.work = work;
    const { circuit, space, values, closed, live } = work;
    const { diagrams } = space;
    const { machine } = circuit;
    this.cells = Array.from({ length: circuit.jointCount }, () => []);
    this.known = new Int32Array(circuit.jointCount).fill(EMPTY);
    const queue: number[] = [];
    const add = (joint: number, value: number, set: StateSet): void => {
      const fresh = diagrams.minus(set, this.known[joint]!);
      if (fresh === EMPTY) return;
      this.known[joint] = diagrams.or(this.known[joint]!, fresh);
      addCell(diagrams, this.cells[joint]!, value, fresh);
      if (!queue.includes(joint)) queue.push(joint);
    };
    for (let leg = 0; leg < circuit.legJoint.length; leg++)
      add(circuit.legJoint[leg]!, values.phasor(circuit.legRe[leg]!, circuit.legIm[leg]!), live);
    // Where a load conducts, and where it has 0 V though it does.
    const conducts = machine.loads.map((load) => {
      if (load.control === undefined || load.impedance.length === 1) return finite(load.impedance[0]) ? FULL : EMPTY;
      return space.literal({
        control: load.control,
        positions: Uint8Array.from(load.impedance, (z) => (finite(z) ? 1 : 0)),
      });
    });
    const fed = loads.cells.map((cells) => {
      let set: StateSet = EMPTY;
      for (let i = 1; i < cells.length; i += 2) set = diagrams.or(set, cells[i]!);
      return set;
    });
    for (let joint = queue.shift(); joint !== undefined; joint = queue.shift()) {
      const here = this.cells[joint]!.slice();
      for (const { id } of machine.contacts) {
        const a = circuit.contactA[id]!;
        const b = circuit.contactB[id]!;
        if (a !== joint && b !== joint) continue;
        const other = a === joint ? b : a;
        for (let i = 0; i < here.length; i += 2) add(other, here[i]!, diagrams.and(here[i + 1]!, closed[id]!));
      }
      for (const { id } of machine.loads) {
        const a = circuit.loadA[id]!;
        const b = circuit.loadB[id]!;
        if ((a !== joint && b !== joint) || conducts[id] === EMPTY) continue;
        const other = a === joint ? b : a;
        const sign = a === joint ? -1 : 1;
        for (let i = 0; i < here.length; i += 2) {
          const set = diagrams.and(here[i + 1]!, conducts[id]!);
          if (diagrams.minus(set, this.known[other]!) === EMPTY) continue;
          add(other, here[i]!, diagrams.minus(set, fed[id]!));
          const cells = loads.cells[id]!;
          for (let k = 0; k < cells.length; k += 2) {
            const both = diagrams.and(set, cells[k + 1]!);
            if (both === EMPTY) continue;
            const from = here[i]!;
            const re = (from < 0 ? 0 : values.re[from]!) + sign * values.re[cells[k]!]!;
            const im = (from < 0 ? 0 : values.im[from]!) + sign * values.im[cells[k]!]!;
            // Next to nothing: rounding of volts that cancel.
            const small = Math.hypot(re, im) < 1e-9 * values.hi[cells[k]!]!;
            add(other, small ? -1 : values.phasor(re, im), both);
          }
        }
      }
    }
  }

  /** Volts of a joint in the states of the region. Phasors that are not told are NaN. */
  of(joint: number, region: StateSet): Potential[] {
    const { diagrams } = this.work.space;
    const { values } = this.work;
    const cells = this.cells[joint]!;
    const result: Potential[] = [];
    for (let i = 0; i < cells.length; i += 2) {
      const set = diagrams.and(cells[i + 1]!, region);
      const value = cells[i]!;
      if (set !== EMPTY)
        result.push({ re: value < 0 ? 0 : values.re[value]!, im: value < 0 ? 0 : values.im[value]!, set });
    }
    const floating = diagrams.minus(region, this.known[joint]!);
    if (floating !== EMPTY) result.push({ re: 0, im: 0, set: floating });
    return result;
  }
}

function finite(z: { readonly re: number; readonly im: number } | undefined): boolean {
  return z !== undefined && Number.isFinite(z.re) && Number.isFinite(z.im);
}
