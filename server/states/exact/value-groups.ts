/** Which volts of a load are told as sets of states: one set for each class; single values only where something needs their phase. */
import { OPEN } from "./decisions.ts";
import type { LoadTree } from "./load-tree.ts";
import { type LoadTypes, NEVER, NOT_COVERED, OFF, OVER, type Values, WORKS } from "./values.ts";

/** Volts of one load: value, set, value, set, ...; sets are disjoint, in all other states the load has 0 V. */
export type Cells = readonly number[];

/** The ends of a load's decisions put together. */
export interface ValueGroups {
  /** Group of each end; 0: no volts. */
  readonly groupOf: Int32Array;
  readonly count: number;
  /** Least class of each group. */
  readonly classes: readonly number[];
  /** Value of each group, where values are kept apart. */
  readonly values: readonly number[];
  /** The group that the budget left open; -1: none. */
  readonly open: number;
  /**
   * Where values are not kept apart: the groups that count for each set told, bit by bit. First any volts, then each class and those
   * above it, last what is not covered. Such sets have one border each, those of single classes two.
   */
  readonly masks?: readonly number[];
}

/** Among the values of groups: none of its own, the group is of all volts below a class. */
export const NO_VALUE = -2;

/** Groups of loads whose values are not kept apart: no volts, each class, not covered. */
const OPEN_GROUP = OVER + 2;
const CLASS_OF_GROUP: readonly number[] = [-1, OFF, OFF + 1, WORKS, OVER, WORKS];
const atLeast = (least: number): number =>
  CLASS_OF_GROUP.reduce((mask, one, group) => (one >= least ? mask | (1 << group) : mask), 0);
const CLASS_GROUPS: Omit<ValueGroups, "groupOf" | "open"> = {
  count: OPEN_GROUP + 1,
  classes: CLASS_OF_GROUP,
  values: [],
  masks: [...[OFF, OFF + 1, WORKS, OVER].map(atLeast), 1 << OPEN_GROUP],
};

/**
 * Decided by the values alone, so that no set is built that is not wanted; single values are found again in the load's tree.
 *
 * @param known the groups of a load of the same type whose volts differ at no other ends than these
 */
export function groupValues(
  values: Values,
  types: LoadTypes,
  type: number,
  { shape: { ends }, re, im, sizes: size }: LoadTree,
  known?: { readonly groups: ValueGroups; readonly ends: Int32Array },
): ValueGroups {
  const { keepsFrom } = types.types[type]!;
  if (keepsFrom === NEVER && known !== undefined) return regrouped(known.groups, known.ends, types, type, size);
  const groupOf = new Int32Array(ends.length);
  if (keepsFrom === NEVER) {
    let open = -1;
    for (let end = 0; end < ends.length; end++) {
      if (size[end] === 0) continue;
      if (ends[end] === OPEN) groupOf[end] = open = OPEN_GROUP;
      else groupOf[end] = 1 + types.classOf(type, size[end]!);
    }
    return { ...CLASS_GROUPS, groupOf, open };
  }
  const groups = new Map<number, number>();
  const all: number[] = [-1];
  const classes: number[] = [OFF];
  for (let end = 0; end < ends.length; end++) {
    if (size[end] === 0) continue;
    const open = ends[end] === OPEN;
    const below = !open && keepsFrom > OFF && types.classOf(type, size[end]!) < keepsFrom;
    const value = open ? NOT_COVERED : below ? NO_VALUE : values.phasor(re[end]!, im[end]!);
    let group = groups.get(value);
    if (group === undefined) {
      groups.set(value, (group = all.push(value) - 1));
      classes.push(value === NOT_COVERED ? WORKS : types.classOf(type, size[end]!));
    }
    groupOf[end] = group;
  }
  return { groupOf, count: all.length, classes, values: all, open: groups.get(NOT_COVERED) ?? -1 };
}

/** Groups by class after an edit that some ends have other volts by. What the budget left open is none of them. */
function regrouped(
  groups: ValueGroups,
  ends: Int32Array,
  types: LoadTypes,
  type: number,
  size: readonly number[],
): ValueGroups {
  let { groupOf } = groups;
  for (let k = 0; k < ends.length; k++) {
    const end = ends[k]!;
    const group = size[end] === 0 ? 0 : 1 + types.classOf(type, size[end]!);
    if (groupOf[end] === group) continue;
    if (groupOf === groups.groupOf) groupOf = groupOf.slice();
    groupOf[end] = group;
  }
  return groupOf === groups.groupOf ? groups : { ...groups, groupOf };
}
