/**
 * The decisions of one load, numbered anew from the ends up: a part's number is above those of what it leads to, so that
 * whatever is told of the ends is carried up in one pass. Kept by content; it holds nothing of what the ends are worth.
 */
import type { Decision, Decisions } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";

/** `yes` and `no`: a part from 0 on, or `~e` for end number e. */
export interface Shape {
  readonly tests: Int32Array;
  readonly yes: Int32Array;
  readonly no: Int32Array;
  readonly ends: readonly Decision[];
  /** The last part, or an end when there are no parts. */
  readonly root: number;
  /** The sets of the groups of ends told last, with the group of each end: mostly the same the next time. */
  told?: { readonly groups: Int32Array; readonly sets: readonly StateSet[] };
}

export class ShapeStore {
  private readonly shapes = new Map<Decision, Shape>();

  of(decisions: Decisions, root: Decision): Shape {
    let shape = this.shapes.get(root);
    if (shape === undefined) this.shapes.set(root, (shape = shapeOf(decisions, root)));
    return shape;
  }
}

function shapeOf(decisions: Decisions, root: Decision): Shape {
  const numbers = new Map<Decision, number>();
  const ends: Decision[] = [];
  const tests: number[] = [];
  const yes: number[] = [];
  const no: number[] = [];
  const visit = (decision: Decision): number => {
    let number = numbers.get(decision);
    if (number !== undefined) return number;
    if (decision < 0) number = ~(ends.push(decision) - 1);
    else {
      const first = visit(decisions.yesOf(decision));
      const second = visit(decisions.noOf(decision));
      number = tests.push(decisions.testOf(decision)) - 1;
      yes.push(first);
      no.push(second);
    }
    numbers.set(decision, number);
    return number;
  };
  const top = visit(root);
  return { tests: Int32Array.from(tests), yes: Int32Array.from(yes), no: Int32Array.from(no), ends, root: top };
}
