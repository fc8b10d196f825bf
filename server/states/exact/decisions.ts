/**
 * Decisions: "while this set holds, that, else the other", down to ends. Not a diagram over controls: a test may be any set, and
 * the same test may come in any order. That makes putting two results together one look-up, whatever the sets are like; what
 * a decision means as a set of states is worked out once at the end (`outcomes.ts`).
 *
 * A number from 0 on is a decision, below 0 an end. Equal decisions have equal numbers.
 */
import { EMPTY, FULL, type StateSet } from "./diagram.ts";

/** No volts at all. */
export const NONE = -1;
/** The budget was spent here. */
export const OPEN = -2;
/** Ends from here down are whatever their owner says: `FIRST_END - k` for k = 0, 1, ... */
export const FIRST_END = -3;

export type Decision = number;

export class Decisions {
  count = 0;
  private tests = new Int32Array(1024);
  private yes = new Int32Array(1024);
  private no = new Int32Array(1024);
  private slots = new Int32Array(4096).fill(-1);

  testOf(decision: Decision): StateSet {
    return this.tests[decision]!;
  }

  yesOf(decision: Decision): Decision {
    return this.yes[decision]!;
  }

  noOf(decision: Decision): Decision {
    return this.no[decision]!;
  }

  decide(test: StateSet, yes: Decision, no: Decision): Decision {
    if (yes === no || test === FULL) return yes;
    if (test === EMPTY) return no;
    const { slots, tests } = this;
    const mask = slots.length - 1;
    let slot = hashOf(test, yes, no) & mask;
    for (;;) {
      const found = slots[slot]!;
      if (found < 0) break;
      if (tests[found] === test && this.yes[found] === yes && this.no[found] === no) return found;
      slot = (slot + 1) & mask;
    }
    const made = this.count++;
    if (made >= tests.length) this.grow();
    this.tests[made] = test;
    this.yes[made] = yes;
    this.no[made] = no;
    slots[slot] = made;
    if (this.count * 2 > slots.length) this.rehash();
    return made;
  }

  private grow(): void {
    const longer = (old: Int32Array): Int32Array<ArrayBuffer> => {
      const grown = new Int32Array(old.length * 2);
      grown.set(old);
      return grown;
    };
    this.tests = longer(this.tests);
    this.yes = longer(this.yes);
    this.no = longer(this.no);
  }

  private rehash(): void {
    const slots = new Int32Array(this.slots.length * 2).fill(-1);
    const mask = slots.length - 1;
    for (let decision = 0; decision < this.count; decision++) {
      let slot = hashOf(this.tests[decision]!, this.yes[decision]!, this.no[decision]!) & mask;
      while (slots[slot]! >= 0) slot = (slot + 1) & mask;
      slots[slot] = decision;
    }
    this.slots = slots;
  }
}

function hashOf(test: number, yes: number, no: number): number {
  let hash = Math.imul(test, 0x9e3779b1) ^ Math.imul(yes, 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d) ^ Math.imul(no, 0xc2b2ae35);
  return hash ^ (hash >>> 13);
}
