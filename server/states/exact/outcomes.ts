/**
 * From decisions to sets of states. Ends are in groups; for each group a yes-or-no decision is built from the ends up, numbered
 * again by what it says, and remembered with the set of states that it means.
 */
import { type Decision, Decisions } from "./decisions.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { Shape } from "./shapes.ts";

const NO = -1;
const YES = -2;
/** Groups from this one on share a mark: that one of them lies below is told, which one is not. */
const SHARED_MARK = 30;

/** Sets that yes-or-no decisions mean; they stay good as long as the diagrams. */
export class OutcomeStore {
  readonly decisions = new Decisions();
  readonly sets: StateSet[] = [];
}

/** The groups of the ends of one load, as sets of states. */
export class Outcomes {
  private readonly diagrams: Diagrams;
  private readonly store: OutcomeStore;
  private readonly shape: Shape;
  private readonly groupOf: ArrayLike<number>;
  /** Marks of the groups that lie below each part. */
  private readonly below: Int32Array;
  private readonly answers: Int32Array;

  /** @param groupOf group of each end, from 0 */
  constructor(diagrams: Diagrams, store: OutcomeStore, shape: Shape, groupOf: ArrayLike<number>) {
    this.diagrams = diagrams;
    this.store = store;
    this.shape = shape;
    this.groupOf = groupOf;
    const { yes, no, tests } = shape;
    const count = tests.length;
    this.below = new Int32Array(count);
    this.answers = new Int32Array(count);
    const marks = (at: number): number => (at < 0 ? markOf(groupOf[~at]!) : this.below[at]!);
    for (let part = 0; part < count; part++) this.below[part] = marks(yes[part]!) | marks(no[part]!);
  }

  /** States in which the outcome is in the group. */
  setOf(group: number): StateSet {
    return this.told(markOf(group), group < SHARED_MARK, (one) => one === group);
  }

  /** States in which the outcome is in one of the groups of the mask, bit by bit; there are few groups. */
  setOfAny(mask: number): StateSet {
    return this.told(mask, true, (one) => (mask & (1 << one)) !== 0);
  }

  /** @param alone no group has a mark in common with one that does not count */
  private told(mask: number, alone: boolean, counts: (group: number) => boolean): StateSet {
    const { shape, groupOf, below, answers, store } = this;
    const { tests, yes, no, root } = shape;
    const answerAt = (at: number): Decision => (at >= 0 ? answers[at]! : counts(groupOf[~at]!) ? YES : NO);
    for (let part = 0; part < tests.length; part++) {
      const marks = below[part]!;
      answers[part] =
        (marks & mask) === 0
          ? NO
          : (marks & ~mask) === 0 && alone
            ? YES
            : store.decisions.decide(tests[part]!, answerAt(yes[part]!), answerAt(no[part]!));
    }
    return this.meant(answerAt(root));
  }

  /** The set that a yes-or-no decision means. */
  private meant(decision: Decision): StateSet {
    if (decision < 0) return decision === YES ? FULL : EMPTY;
    const { sets, decisions } = this.store;
    const known = sets[decision];
    if (known !== undefined) return known;
    const yes = this.meant(decisions.yesOf(decision));
    const no = this.meant(decisions.noOf(decision));
    return (sets[decision] = this.diagrams.choose(decisions.testOf(decision), yes, no));
  }
}

function markOf(group: number): number {
  return 1 << Math.min(group, SHARED_MARK);
}
