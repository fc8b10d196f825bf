/** Amps of loads, from their volts and the impedance that their control's position gives them. */
import type { Load } from "../../machine/machine.ts";
import { EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { Space } from "./space.ts";
import type { Cells } from "./value-groups.ts";
import type { Values } from "./values.ts";

/** One current and the states that have it; NaN: not told. */
export interface AmpsCell {
  readonly re: number;
  readonly im: number;
  readonly set: StateSet;
}

/** Currents of a load, from its first terminal to its second; 0 A in all other states. */
export function ampsCells(space: Space, values: Values, load: Load, cells: Cells): AmpsCell[] {
  const { diagrams } = space;
  const result: AmpsCell[] = [];
  const varies = load.control !== undefined && load.impedance.length > 1;
  const positions = varies ? load.impedance.length : 1;
  const done = new Uint8Array(positions);
  for (let position = 0; position < positions; position++) {
    const z = load.impedance[position];
    if (z === undefined || done[position]) continue;
    let where: StateSet = FULL;
    if (varies) {
      where = EMPTY;
      for (let other = position; other < positions; other++) {
        const zo = load.impedance[other];
        if (zo === undefined || zo.re !== z.re || zo.im !== z.im) continue;
        done[other] = 1;
        where = diagrams.or(where, space.at(load.control!, other));
      }
    }
    const square = z.re * z.re + z.im * z.im;
    for (let i = 0; i < cells.length; i += 2) {
      const set = diagrams.and(cells[i + 1]!, where);
      if (set === EMPTY) continue;
      const value = cells[i]!;
      const vRe = values.re[value]!;
      const vIm = values.im[value]!;
      result.push({
        re: (vRe * z.re + vIm * z.im) / square,
        im: (vIm * z.re - vRe * z.im) / square,
        set,
      });
    }
  }
  return result;
}
