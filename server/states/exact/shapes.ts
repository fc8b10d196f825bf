/**
 * The decisions of one load, numbered anew from the ends up: a part's number is above those of what it leads to, so that
 * whatever is told of the ends is carried up in one pass. Kept by content; it holds nothing of what the ends are worth.
 */
import type { Decision, Decisions } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";
import type { LoadResult } from "./load-sets.ts";

/** `yes` and `no`: a part from 0 on, or `~e` for end number e. */
export interface Shape {
  /** Different for each shape of a memory. */
  readonly number: number;
  readonly tests: Int32Array;
  readonly yes: Int32Array;
  readonly no: Int32Array;
  /** The same as places in a row: parts as they are, ends after them. */
  readonly yesPlaces: Int32Array;
  readonly noPlaces: Int32Array;
  /** The decision of each part. */
  readonly parts: readonly Decision[];
  readonly ends: readonly Decision[];
  /** The last part, or an end when there are no parts. */
  readonly root: number;
  /** For each part how many tests there are below it at most, it included. */
  readonly heights: Int32Array;
  /** The sets of the groups of ends told last, with the group of each end: mostly the same the next time. */
  told?: ToldSets;
  /** What loads of the shape had lately, the latest first. */
  results?: readonly LoadResult[];
}

/** Sets of states that groups of ends mean, and what of each is left within `live`. */
export interface ToldSets {
  readonly groups: Int32Array;
  /** What each set takes in (`ValueGroups`): left out, one group each. */
  readonly masks: readonly number[] | undefined;
  readonly sets: readonly StateSet[];
  here?: { readonly live: StateSet; readonly sets: readonly StateSet[] };
}

export class ShapeStore {
  private readonly shapes = new Map<Decision, Shape>();

  of(decisions: Decisions, root: Decision): Shape {
    let shape = this.shapes.get(root);
    if (shape === undefined) this.shapes.set(root, (shape = shapeOf(decisions, root, this.shapes.size)));
    return shape;
  }
}

function shapeOf(decisions: Decisions, root: Decision, number: number): Shape {
  const places = new Map<Decision, number>();
  const ends: Decision[] = [];
  const tests: number[] = [];
  const parts: Decision[] = [];
  const yes: number[] = [];
  const no: number[] = [];
  const visit = (decision: Decision): number => {
    let place = places.get(decision);
    if (place !== undefined) return place;
    if (decision < 0) place = ~(ends.push(decision) - 1);
    else {
      const first = visit(decisions.yesOf(decision));
      const second = visit(decisions.noOf(decision));
      place = tests.push(decisions.testOf(decision)) - 1;
      parts.push(decision);
      yes.push(first);
      no.push(second);
    }
    places.set(decision, place);
    return place;
  };
  const top = visit(root);
  const heights = new Int32Array(tests.length);
  const height = (at: number): number => (at < 0 ? 0 : heights[at]!);
  for (let part = 0; part < tests.length; part++) heights[part] = 1 + Math.max(height(yes[part]!), height(no[part]!));
  const placeOf = (at: number): number => (at >= 0 ? at : tests.length + ~at);
  return {
    heights,
    parts,
    yesPlaces: Int32Array.from(yes, placeOf),
    noPlaces: Int32Array.from(no, placeOf),
    number,
    tests: Int32Array.from(tests),
    yes: Int32Array.from(yes),
    no: Int32Array.from(no),
    ends,
    root: top,
  };
}
