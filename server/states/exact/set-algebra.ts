/** Intersection, union and the rest of the algebra of sets: recursive, branch by branch, each result remembered. */
import { EMPTY, FULL, NodeTable, STEPS, type StateSet } from "./node-table.ts";

const AND = 0;
const OR = 1;
const MINUS = 2;
const CHOOSE = 3;

export class SetAlgebra extends NodeTable {
  and(a: StateSet, b: StateSet): StateSet {
    if (a === b) return a;
    if (a > b) {
      const t = a;
      a = b;
      b = t;
    }
    if (a === EMPTY) return EMPTY;
    if (a === FULL) return b;
    const slot = this.find(a, b, AND);
    if (slot < 0) return this.cache[-1 - slot]!;
    const la = this.level[a]!;
    const lb = this.level[b]!;
    let result: StateSet;
    if (la === STEPS && lb === STEPS) {
      const fa = this.first[a]!;
      const fb = this.first[b]!;
      for (let w = 0; w < this.words; w++) this.scratch[w] = this.kids[fa + w]! & this.kids[fb + w]!;
      result = this.endOfScratch();
    } else {
      const l = Math.min(la, lb);
      const n = this.arity[l]!;
      const fa = this.first[a]!;
      const fb = this.first[b]!;
      if (n === 2) {
        const kids = this.kids;
        const a1 = la === l ? kids[fa + 1]! : a;
        const b1 = lb === l ? kids[fb + 1]! : b;
        const low = this.and(la === l ? kids[fa]! : a, lb === l ? kids[fb]! : b);
        result = this.pair(l, low, this.and(a1, b1));
        this.store(a, b, AND, result);
        return result;
      }
      const base = this.top;
      for (let p = 0; p < n; p++)
        this.push(this.and(la === l ? this.kids[fa + p]! : a, lb === l ? this.kids[fb + p]! : b));
      result = this.node(l, base);
    }
    this.store(a, b, AND, result);
    return result;
  }

  or(a: StateSet, b: StateSet): StateSet {
    if (a === b) return a;
    if (a > b) {
      const t = a;
      a = b;
      b = t;
    }
    if (a === EMPTY) return b;
    if (a === FULL) return FULL;
    const slot = this.find(a, b, OR);
    if (slot < 0) return this.cache[-1 - slot]!;
    const la = this.level[a]!;
    const lb = this.level[b]!;
    let result: StateSet;
    if (la === STEPS && lb === STEPS) {
      const fa = this.first[a]!;
      const fb = this.first[b]!;
      for (let w = 0; w < this.words; w++) this.scratch[w] = this.kids[fa + w]! | this.kids[fb + w]!;
      result = this.endOfScratch();
    } else {
      const l = Math.min(la, lb);
      const n = this.arity[l]!;
      const fa = this.first[a]!;
      const fb = this.first[b]!;
      if (n === 2) {
        const kids = this.kids;
        const a1 = la === l ? kids[fa + 1]! : a;
        const b1 = lb === l ? kids[fb + 1]! : b;
        const low = this.or(la === l ? kids[fa]! : a, lb === l ? kids[fb]! : b);
        result = this.pair(l, low, this.or(a1, b1));
        this.store(a, b, OR, result);
        return result;
      }
      const base = this.top;
      for (let p = 0; p < n; p++)
        this.push(this.or(la === l ? this.kids[fa + p]! : a, lb === l ? this.kids[fb + p]! : b));
      result = this.node(l, base);
    }
    this.store(a, b, OR, result);
    return result;
  }

  /** States of `a` that are not in `b`. */
  minus(a: StateSet, b: StateSet): StateSet {
    if (a === EMPTY || b === FULL || a === b) return EMPTY;
    if (b === EMPTY) return a;
    const slot = this.find(a, b, MINUS);
    if (slot < 0) return this.cache[-1 - slot]!;
    const la = this.level[a]!;
    const lb = this.level[b]!;
    let result: StateSet;
    if (la === STEPS && lb === STEPS) {
      const fa = this.first[a]!;
      const fb = this.first[b]!;
      for (let w = 0; w < this.words; w++) this.scratch[w] = this.kids[fa + w]! & ~this.kids[fb + w]!;
      result = this.endOfScratch();
    } else {
      const l = Math.min(la, lb);
      const n = this.arity[l]!;
      const fa = this.first[a]!;
      const fb = this.first[b]!;
      if (n === 2) {
        const kids = this.kids;
        const a1 = la === l ? kids[fa + 1]! : a;
        const b1 = lb === l ? kids[fb + 1]! : b;
        const low = this.minus(la === l ? kids[fa]! : a, lb === l ? kids[fb]! : b);
        result = this.pair(l, low, this.minus(a1, b1));
        this.store(a, b, MINUS, result);
        return result;
      }
      const base = this.top;
      for (let p = 0; p < n; p++)
        this.push(this.minus(la === l ? this.kids[fa + p]! : a, lb === l ? this.kids[fb + p]! : b));
      result = this.node(l, base);
    }
    this.store(a, b, MINUS, result);
    return result;
  }

  not(a: StateSet): StateSet {
    return this.minus(FULL, a);
  }

  /** True when some state is in both sets. Ends at the first one found, where `and` would build them all. */
  meets(a: StateSet, b: StateSet): boolean {
    if (a === b) return a !== EMPTY;
    if (a > b) {
      const t = a;
      a = b;
      b = t;
    }
    if (a === EMPTY) return false;
    if (a === FULL) return true;
    const slot = this.find(a, b, AND);
    if (slot < 0) return this.cache[-1 - slot] !== EMPTY;
    const la = this.level[a]!;
    const lb = this.level[b]!;
    const fa = this.first[a]!;
    const fb = this.first[b]!;
    if (la === STEPS && lb === STEPS) {
      for (let w = 0; w < this.words; w++) if ((this.kids[fa + w]! & this.kids[fb + w]!) !== 0) return true;
      return false;
    }
    const l = Math.min(la, lb);
    const n = this.arity[l]!;
    for (let p = 0; p < n; p++)
      if (this.meets(la === l ? this.kids[fa + p]! : a, lb === l ? this.kids[fb + p]! : b)) return true;
    this.store(a, b, AND, EMPTY);
    return false;
  }

  /** True when every state of `a` is in `b`. */
  isSubset(a: StateSet, b: StateSet): boolean {
    if (a === EMPTY || b === FULL || a === b) return true;
    if (b === EMPTY) return false;
    const slot = this.find(a, b, MINUS);
    if (slot < 0) return this.cache[-1 - slot] === EMPTY;
    const la = this.level[a]!;
    const lb = this.level[b]!;
    const fa = this.first[a]!;
    const fb = this.first[b]!;
    if (la === STEPS && lb === STEPS) {
      for (let w = 0; w < this.words; w++) if ((this.kids[fa + w]! & ~this.kids[fb + w]!) !== 0) return false;
      return true;
    }
    const l = Math.min(la, lb);
    const n = this.arity[l]!;
    for (let p = 0; p < n; p++)
      if (!this.isSubset(la === l ? this.kids[fa + p]! : a, lb === l ? this.kids[fb + p]! : b)) return false;
    this.store(a, b, MINUS, EMPTY);
    return true;
  }

  /** States of `yes` where `test` holds, of `no` elsewhere. */
  choose(test: StateSet, yes: StateSet, no: StateSet): StateSet {
    if (test === FULL || yes === no) return yes;
    if (test === EMPTY) return no;
    if (yes === EMPTY) return this.minus(no, test);
    if (no === EMPTY) return this.and(test, yes);
    if (yes === FULL) return this.or(test, no);
    const tag = (no << 4) | CHOOSE;
    const slot = this.find(test, yes, tag);
    if (slot < 0) return this.cache[-1 - slot]!;
    const lt = this.level[test]!;
    const ly = this.level[yes]!;
    const ln = this.level[no]!;
    const ft = this.first[test]!;
    const fy = this.first[yes]!;
    const fn = this.first[no]!;
    const l = Math.min(lt, ly, ln);
    let result: StateSet;
    if (l === STEPS) {
      for (let w = 0; w < this.words; w++) {
        const t = this.kids[ft + w]!;
        this.scratch[w] = (t & this.kids[fy + w]!) | (~t & this.kids[fn + w]!);
      }
      result = this.endOfScratch();
    } else {
      const base = this.top;
      const n = this.arity[l]!;
      for (let p = 0; p < n; p++)
        this.push(
          this.choose(
            lt === l ? this.kids[ft + p]! : test,
            ly === l ? this.kids[fy + p]! : yes,
            ln === l ? this.kids[fn + p]! : no,
          ),
        );
      result = this.node(l, base);
    }
    this.store(test, yes, tag, result);
    return result;
  }
}
