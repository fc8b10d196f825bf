/** Volts of one load as sets of states, and which of many different volts are put together. */
import type { LoadTypes, Values } from "./values.ts";

/** Volts of one load: value, set, value, set, ...; sets are disjoint, in all other states the load has 0 V. */
export type Cells = readonly number[];

/** More different volts than this are put together by class. */
export const MOST_VALUES = 4;

/**
 * Which different volts of a load are put together: when there are many, all of a class. Decided by the values alone, so that no
 * set is built that is not wanted; single values are found again in the load's tree.
 *
 * @param all smallest first
 */
export function groupValues(values: Values, types: LoadTypes, type: number, all: readonly number[]): number[][] {
  if (all.length <= MOST_VALUES || types.types[type]!.keepsValues) return all.map((value) => [value]);
  const groups: number[][] = [];
  const byClass: number[][] = [[], [], [], []];
  for (const value of all) {
    const most = values.hi[value]!;
    if (Number.isNaN(most) || most === Infinity) groups.push([value]);
    else byClass[types.classOf(type, most)]!.push(value);
  }
  for (const members of byClass) if (members.length > 0) groups.push(members);
  return groups;
}
