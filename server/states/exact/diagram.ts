/**
 * Sets of machine states as reduced ordered decision diagrams (R. E. Bryant, "Graph-based algorithms for Boolean function
 * manipulation", IEEE Trans. Computers C-35, 1986), with two changes that suit machines:
 *
 * - a variable is a control with any number of positions, so a node has one branch per position;
 * - one control (the timer, or whichever has most positions) is not a variable at all: the ends of the diagram are sets of its
 *   positions ("step sets"), 32 to a word. A set of states is then a function from the other controls to a step set.
 *
 * Equal sets have equal numbers: comparing is `===`, `EMPTY` is 0 and `FULL` is 1. Nodes are never freed; the owner starts
 * afresh when `nodeCount` has grown past what it allows.
 */
import { IntTable } from "./int-table.ts";
import { EMPTY, FULL, STEPS, type StateSet } from "./node-table.ts";
import { SetAlgebra } from "./set-algebra.ts";

export { EMPTY, FULL, STEPS, type StateSet } from "./node-table.ts";

// Operations that the memory keeps apart from those of the algebra (0 to 3).
const FIX = 4;
const MOVE = 5;
const FORGET = 6;
const WITHIN = 7;
const STEPS_OF = 8;

/** Sets of states with what happens to controls: held in a position, moved, set free. */
export class Diagrams extends SetAlgebra {
  private readonly moves: { level: number; arity: number; to: Uint8Array[] }[] = [];
  private readonly forgets: Uint8Array[] = [];
  private readonly relations = new IntTable();

  /** The set with one control held in a position: which states of the OTHER controls remain. Does not depend on `level` any more. */
  fix(set: StateSet, level: number, position: number): StateSet {
    const l = this.level[set]!;
    if (l === STEPS) return level === STEPS && set > FULL ? (this.hasStep(set, position) ? FULL : EMPTY) : set;
    if (l > level) return set;
    if (l === level) return this.kids[this.first[set]! + position]!;
    const tag = (position << 4) | FIX;
    const slot = this.find(set, level, tag);
    if (slot < 0) return this.cache[-1 - slot]!;
    const base = this.top;
    const n = this.arity[l]!;
    const f = this.first[set]!;
    for (let p = 0; p < n; p++) this.push(this.fix(this.kids[f + p]!, level, position));
    const result = this.node(l, base);
    this.store(set, level, tag, result);
    return result;
  }

  /** The steps (as a set) at which the set has any state. */
  stepsOf(set: StateSet): StateSet {
    const l = this.level[set]!;
    if (l === STEPS) return set;
    if (!this.dependsOnSteps(set)) return FULL;
    const slot = this.find(set, 0, STEPS_OF);
    if (slot < 0) return this.cache[-1 - slot]!;
    let result: StateSet = EMPTY;
    const n = this.arity[l]!;
    const f = this.first[set]!;
    for (let p = 0; p < n; p++) result = this.or(result, this.stepsOf(this.kids[f + p]!));
    this.store(set, 0, STEPS_OF, result);
    return result;
  }

  /** The set as simple as it can be told when only the steps `steps` matter: what holds at all of them does not depend on them. */
  within(set: StateSet, steps: StateSet): StateSet {
    if (steps === FULL || !this.dependsOnSteps(set)) return set;
    const l = this.level[set]!;
    if (l === STEPS) {
      const both = this.and(set, steps);
      return both === steps ? FULL : both;
    }
    const slot = this.find(set, steps, WITHIN);
    if (slot < 0) return this.cache[-1 - slot]!;
    const base = this.top;
    const n = this.arity[l]!;
    const f = this.first[set]!;
    for (let p = 0; p < n; p++) this.push(this.within(this.kids[f + p]!, steps));
    const result = this.node(l, base);
    this.store(set, steps, WITHIN, result);
    return result;
  }

  /** Registers which positions can become which: `to[p][q] === 1` when p can become q. Equal relations get equal numbers. */
  relation(level: number, to: readonly Uint8Array[]): number {
    const n = to.length;
    const key = [level];
    for (const row of to) for (let q = 0; q < n; q++) key.push(row[q]!);
    const found = this.relations.intern(key, 0, key.length);
    if (found >= 0) return found;
    this.moves.push({ level, arity: n, to: to.map((row) => row.slice()) });
    return -1 - found;
  }

  /** Every state that a state of the set can become by one move of the relation. */
  move(set: StateSet, relation: number): StateSet {
    if (set === EMPTY) return EMPTY;
    const { level, arity, to } = this.moves[relation]!;
    const l = this.level[set]!;
    const slot = this.find(set, relation, MOVE);
    if (slot < 0) return this.cache[-1 - slot]!;
    let result: StateSet;
    if (l < level && l !== STEPS) {
      const base = this.top;
      const n = this.arity[l]!;
      const f = this.first[set]!;
      for (let p = 0; p < n; p++) this.push(this.move(this.kids[f + p]!, relation));
      result = this.node(l, base);
    } else if (level === STEPS) {
      this.scratch.fill(0);
      for (let p = 0; p < arity; p++) {
        if (!this.hasStep(set, p)) continue;
        const row = to[p]!;
        for (let q = 0; q < arity; q++) if (row[q] === 1) this.scratch[q >> 5]! |= 1 << (q & 31);
      }
      result = this.endOfScratch();
    } else {
      const base = this.top;
      for (let q = 0; q < arity; q++) {
        let sum = EMPTY;
        for (let p = 0; p < arity; p++)
          if (to[p]![q] === 1) sum = this.or(sum, l === level ? this.kids[this.first[set]! + p]! : set);
        this.push(sum);
      }
      result = this.node(level, base);
    }
    this.store(set, relation, MOVE, result);
    return result;
  }

  /** Registers a set of levels (`marks[level] === 1`; `marks[arity.length]` stands for the step control). */
  levels(marks: Uint8Array): number {
    for (let i = 0; i < this.forgets.length; i++) {
      const known = this.forgets[i]!;
      if (known.length === marks.length && known.every((v, k) => v === marks[k])) return i;
    }
    this.forgets.push(marks.slice());
    return this.forgets.length - 1;
  }

  /** The set with the registered controls set free: every state that agrees with a state of the set in all others. */
  forget(set: StateSet, levels: number): StateSet {
    if (set <= FULL) return set;
    const marks = this.forgets[levels]!;
    const l = this.level[set]!;
    if (l === STEPS) return marks[marks.length - 1] === 1 ? FULL : set;
    const slot = this.find(set, levels, FORGET);
    if (slot < 0) return this.cache[-1 - slot]!;
    const n = this.arity[l]!;
    const f = this.first[set]!;
    let result: StateSet;
    if (marks[l] === 1 && l < marks.length - 1) {
      result = EMPTY;
      for (let p = 0; p < n; p++) result = this.or(result, this.forget(this.kids[f + p]!, levels));
    } else {
      const base = this.top;
      for (let p = 0; p < n; p++) this.push(this.forget(this.kids[f + p]!, levels));
      result = this.node(l, base);
    }
    this.store(set, levels, FORGET, result);
    return result;
  }
}
