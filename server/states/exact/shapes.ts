/**
 * The decisions of one load, numbered anew from the ends up: a part's number is above those of what it leads to, so that
 * whatever is told of the ends is carried up in one pass. Kept by content; it holds nothing of what the ends are worth.
 */
import type { Decision, Decisions } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";
import type { LoadResult } from "./load-sets.ts";
import type { LoadTree } from "./load-tree.ts";

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
  /** The volts read last. */
  latest?: LatestVolts;
}

/** Volts at the ends of a shape as they were read last. */
export interface LatestVolts {
  readonly tree: LoadTree;
  /** `LeafStore.changes` as it was then. */
  readonly readAt: number;
  /** What was read before, and the ends at which that may have been other volts. */
  readonly before?: { readonly tree: LoadTree; readonly ends: Int32Array };
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
  private readonly places = new DecisionPlaces();

  of(decisions: Decisions, root: Decision): Shape {
    let shape = this.shapes.get(root);
    if (shape === undefined)
      this.shapes.set(root, (shape = shapeOf(decisions, root, this.shapes.size, this.places.begin())));
    return shape;
  }
}

/** Where decisions and ends stand in the shape that is being made: by their numbers, in arrays that all shapes use in turn. */
class DecisionPlaces {
  private parts = new Int32Array(0);
  private ends = new Int32Array(0);
  /** Places of one shape begin here, so that those of earlier ones are known as such. */
  private base = 0;
  private most = 0;

  begin(): this {
    this.base = this.most;
    if (this.base > 2 ** 30) {
      this.parts.fill(0);
      this.ends.fill(0);
      this.base = this.most = 0;
    }
    return this;
  }

  /** The place: of a decision from 0 on, of an end `~e`; undefined where there is none yet. */
  find(decision: Decision): number | undefined {
    const place = (decision >= 0 ? (this.parts[decision] ?? 0) : (this.ends[~decision] ?? 0)) - this.base - 1;
    if (place < 0) return undefined;
    return decision >= 0 ? place : ~place;
  }

  /** @param place number of the part or end, from 0 */
  enter(decision: Decision, place: number): void {
    const at = decision >= 0 ? decision : ~decision;
    if (decision >= 0) {
      if (at >= this.parts.length) this.parts = longer(this.parts, at + 1);
      this.parts[at] = this.base + 1 + place;
    } else {
      if (at >= this.ends.length) this.ends = longer(this.ends, at + 1);
      this.ends[at] = this.base + 1 + place;
    }
    this.most = Math.max(this.most, this.base + 1 + place);
  }
}

function longer(old: Int32Array, least: number): Int32Array<ArrayBuffer> {
  const grown = new Int32Array(Math.max(least, 2 * old.length, 1024));
  grown.set(old);
  return grown;
}

function shapeOf(decisions: Decisions, root: Decision, number: number, places: DecisionPlaces): Shape {
  const ends: Decision[] = [];
  const tests: number[] = [];
  const parts: Decision[] = [];
  const yes: number[] = [];
  const no: number[] = [];
  const visit = (decision: Decision): number => {
    const known = places.find(decision);
    if (known !== undefined) return known;
    if (decision < 0) {
      const end = ends.push(decision) - 1;
      places.enter(decision, end);
      return ~end;
    }
    const first = visit(decisions.yesOf(decision));
    const second = visit(decisions.noOf(decision));
    const part = tests.push(decisions.testOf(decision)) - 1;
    parts.push(decision);
    yes.push(first);
    no.push(second);
    places.enter(decision, part);
    return part;
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
