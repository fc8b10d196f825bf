/** What a load adds to a sum of phasors: its volts, or what flows for each volt, with the states that have it. */
import { around, type Box, turned } from "./boxes.ts";
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";
import type { LoadTree } from "./load-tree.ts";
import type { Values } from "./values.ts";

export interface Option {
  /** Largest magnitude; that of the phasor when there is one. */
  readonly most: number;
  /** Where what is added lies. */
  readonly box: Box;
  readonly set: StateSet;
  /** States before the move in which the option holds; left out: any. */
  readonly before?: StateSet;
  /** What is added in every state of the set: a phasor, or what the volts of a load come to there. */
  readonly adds: { readonly re: number; readonly im: number } | Turned;
}

/** The volts of a load, each times `yRe + i yIm`. */
export interface Turned {
  readonly volts: LoadTree;
  readonly yRe: number;
  readonly yIm: number;
}

/** A phasor in the states of `set`. */
export function exactOption(re: number, im: number, set: StateSet, before?: StateSet): Option {
  const adds = { re, im };
  return { most: Math.hypot(re, im), box: around(re, im, 0), set, ...(before !== undefined && { before }), adds };
}

/** Volts of a load in some states: their value, its set, and what each volt adds. */
export interface VoltsCell {
  readonly value: number;
  readonly yRe: number;
  readonly yIm: number;
  readonly set: StateSet;
}

/** Options of one load, largest first: one for each volts where all are known, else the load's tree. */
export function optionsOf(
  diagrams: Diagrams,
  values: Values,
  volts: LoadTree,
  cells: readonly VoltsCell[],
  before?: StateSet,
): Option[] {
  const options: Option[] = [];
  const byTurn = new Map<string, { yRe: number; yIm: number; set: StateSet }>();
  const exact = cells.every(({ value }) => values.isExact(value));
  for (const { value, yRe, yIm, set } of cells) {
    if (set === EMPTY) continue;
    const [re, im] = [values.re[value]!, values.im[value]!];
    if (exact) options.push(exactOption(re * yRe - im * yIm, re * yIm + im * yRe, set, before));
    else {
      const key = `${yRe} ${yIm}`;
      byTurn.set(key, { yRe, yIm, set: diagrams.or(byTurn.get(key)?.set ?? EMPTY, set) });
    }
  }
  for (const { yRe, yIm, set } of byTurn.values()) {
    const { root } = volts.shape;
    options.push({
      most: volts.most(root) * Math.hypot(yRe, yIm),
      box: turned(volts.box(root), yRe, yIm),
      set,
      ...(before !== undefined && { before }),
      adds: { volts, yRe, yIm },
    });
  }
  return options.sort((a, b) => b.most - a.most);
}
