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

/** A set of states: a number given out by one `Diagrams`. */
export type StateSet = number;
export const EMPTY: StateSet = 0;
export const FULL: StateSet = 1;
/** Level of the ends, below every variable; also names the step control wherever a level is asked for. */
export const STEPS = 0xffff;

const AND = 0;
const OR = 1;
const MINUS = 2;
const CHOOSE = 3;
const FIX = 4;
const MOVE = 5;
const FORGET = 6;

export class Diagrams {
  readonly stepCount: number;
  /** Number of positions of the variable at each level. */
  readonly arity: number[] = [];
  private readonly words: number;
  private level = new Uint16Array(4096);
  private first = new Int32Array(4096);
  private kids = new Int32Array(16384);
  /** Which levels a set depends on: bit (level mod 31), bit 31 for the steps. */
  private signs = new Int32Array(4096);
  private kidsUsed = 0;
  private nodes = 0;
  /** Node and hash by turns; -1 where free. */
  private unique = new Int32Array(32768).fill(-1);
  private readonly stepSets = new IntTable();
  private stepSetNode = new Int32Array(64);
  private readonly fullWords: Int32Array;
  private readonly scratch: Int32Array;
  private stack = new Int32Array(4096);
  private top = 0;
  private cache = new Int32Array(4 << 13).fill(-1);
  private cacheMask = (1 << 13) - 1;
  private readonly moves: { level: number; arity: number; to: Uint8Array[] }[] = [];
  private readonly forgets: Uint8Array[] = [];
  private readonly relations = new IntTable();

  /** @param stepCount positions of the step control; 1 when the machine has none. */
  constructor(stepCount: number) {
    this.stepCount = stepCount;
    this.words = Math.max(1, (stepCount + 31) >> 5);
    this.scratch = new Int32Array(this.words);
    this.fullWords = new Int32Array(this.words);
    for (let i = 0; i < stepCount; i++) this.fullWords[i >> 5]! |= 1 << (i & 31);
    this.endOfScratch();
    this.scratch.set(this.fullWords);
    this.endOfScratch();
  }

  get nodeCount(): number {
    return this.nodes;
  }

  /** Adds a variable below all others (above the ends) and returns its level. */
  addVariable(positions: number): number {
    this.arity.push(positions);
    return this.arity.length - 1;
  }

  levelOf(set: StateSet): number {
    return this.level[set]!;
  }

  /** Branch of a set whose level is `levelOf(set)`. */
  branch(set: StateSet, position: number): StateSet {
    return this.kids[this.first[set]! + position]!;
  }

  /** False when the two sets certainly depend on no control in common. */
  mayShare(a: StateSet, b: StateSet): boolean {
    return (this.signs[a]! & this.signs[b]!) !== 0;
  }

  dependsOnSteps(set: StateSet): boolean {
    return this.signs[set]! < 0;
  }

  /** True when step `step` is in the end `set`. */
  hasStep(set: StateSet, step: number): boolean {
    return (this.kids[this.first[set]! + (step >> 5)]! & (1 << (step & 31))) !== 0;
  }

  /** All states in which the control stands in a position p with `positions[p] === 1`. */
  literal(level: number, positions: ArrayLike<number>): StateSet {
    if (level === STEPS) {
      this.scratch.fill(0);
      for (let i = 0; i < this.stepCount; i++) if (positions[i] === 1) this.scratch[i >> 5]! |= 1 << (i & 31);
      return this.endOfScratch();
    }
    const base = this.top;
    const n = this.arity[level]!;
    for (let p = 0; p < n; p++) this.push(positions[p] === 1 ? FULL : EMPTY);
    return this.node(level, base);
  }

  position(level: number, position: number): StateSet {
    if (level === STEPS) {
      this.scratch.fill(0);
      this.scratch[position >> 5] = 1 << (position & 31);
      return this.endOfScratch();
    }
    const base = this.top;
    const n = this.arity[level]!;
    for (let p = 0; p < n; p++) this.push(p === position ? FULL : EMPTY);
    return this.node(level, base);
  }

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

  /** Node from `n` branches that depend on levels below `level` only. */
  branches(level: number, sets: readonly StateSet[]): StateSet {
    const base = this.top;
    for (const set of sets) this.push(set);
    return this.node(level, base);
  }

  private push(set: StateSet): void {
    if (this.top >= this.stack.length) {
      const bigger = new Int32Array(this.stack.length * 2);
      bigger.set(this.stack);
      this.stack = bigger;
    }
    this.stack[this.top++] = set;
  }

  /** The one node with two branches. */
  private pair(level: number, low: StateSet, high: StateSet): StateSet {
    if (low === high) return low;
    let hash = Math.imul(level + 1, 0x9e3779b1) ^ Math.imul(low, 0x85ebca6b);
    hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d) ^ Math.imul(high, 0xc2b2ae35);
    hash ^= hash >>> 13;
    const { unique, level: levels, first, kids } = this;
    const mask = (unique.length >> 1) - 1;
    let slot = hash & mask;
    for (;;) {
      const node = unique[2 * slot]!;
      if (node < 0) break;
      if (unique[2 * slot + 1] === hash && levels[node] === level) {
        const f = first[node]!;
        if (kids[f] === low && kids[f + 1] === high) return node;
      }
      slot = (slot + 1) & mask;
    }
    const node = this.newNode(level, 2);
    const f = this.first[node]!;
    this.kids[f] = low;
    this.kids[f + 1] = high;
    this.signs[node] = (1 << (level % 31)) | this.signs[low]! | this.signs[high]!;
    this.enter(slot, node, hash);
    return node;
  }

  /** Takes the branches pushed since `base` and gives the one node that has them. */
  private node(level: number, base: number): StateSet {
    const stack = this.stack;
    const end = this.top;
    this.top = base;
    if (end - base === 2) return this.pair(level, stack[base]!, stack[base + 1]!);
    const only = stack[base]!;
    let same = true;
    let hash = Math.imul(level + 1, 0x9e3779b1);
    for (let i = base; i < end; i++) {
      const kid = stack[i]!;
      if (kid !== only) same = false;
      hash = Math.imul(hash ^ kid, 0x85ebca6b);
      hash ^= hash >>> 15;
    }
    if (same) return only;
    const mask = (this.unique.length >> 1) - 1;
    let slot = hash & mask;
    for (;;) {
      const node = this.unique[2 * slot]!;
      if (node < 0) break;
      if (this.unique[2 * slot + 1] === hash && this.level[node] === level) {
        const f = this.first[node]! - base;
        let i = base;
        while (i < end && this.kids[f + i] === stack[i]) i++;
        if (i === end) return node;
      }
      slot = (slot + 1) & mask;
    }
    const node = this.newNode(level, end - base);
    let sign = 1 << (level % 31);
    for (let i = base; i < end; i++) {
      this.kids[this.first[node]! + i - base] = stack[i]!;
      sign |= this.signs[stack[i]!]!;
    }
    this.signs[node] = sign;
    this.enter(slot, node, hash);
    return node;
  }

  /** Enters a new node in the unique table, whose free slot was just found. */
  private enter(slot: number, node: number, hash: number): void {
    this.unique[2 * slot] = node;
    this.unique[2 * slot + 1] = hash;
    if (this.nodes * 4 > this.unique.length) this.rehash();
  }

  private newNode(level: number, size: number): number {
    const node = this.nodes++;
    if (node >= this.level.length) {
      const length = this.level.length * 2;
      const grow = (old: Int32Array) => {
        const bigger = new Int32Array(length);
        bigger.set(old);
        return bigger;
      };
      const levels = new Uint16Array(length);
      levels.set(this.level);
      this.level = levels;
      this.first = grow(this.first);
      this.signs = grow(this.signs);
      if (this.cacheMask + 1 < length && length <= 1 << 20) this.growCache(length);
    }
    if (this.kidsUsed + size > this.kids.length) {
      const bigger = new Int32Array(this.kids.length * 2 + size);
      bigger.set(this.kids);
      this.kids = bigger;
    }
    this.level[node] = level;
    this.first[node] = this.kidsUsed;
    this.kidsUsed += size;
    return node;
  }

  private rehash(): void {
    const old = this.unique;
    const unique = new Int32Array(old.length * 4).fill(-1);
    const mask = (unique.length >> 1) - 1;
    for (let i = 0; i < old.length; i += 2) {
      if (old[i]! < 0) continue;
      let slot = old[i + 1]! & mask;
      while (unique[2 * slot]! >= 0) slot = (slot + 1) & mask;
      unique[2 * slot] = old[i]!;
      unique[2 * slot + 1] = old[i + 1]!;
    }
    this.unique = unique;
  }

  private endOfScratch(): StateSet {
    const found = this.stepSets.intern(this.scratch, 0, this.words);
    if (found >= 0) return this.stepSetNode[found]!;
    const number = -1 - found;
    if (number >= this.stepSetNode.length) {
      const bigger = new Int32Array(this.stepSetNode.length * 2);
      bigger.set(this.stepSetNode);
      this.stepSetNode = bigger;
    }
    const node = this.newNode(STEPS, this.words);
    this.kids.set(this.scratch, this.first[node]!);
    this.stepSetNode[number] = node;
    this.signs[node] = node > FULL ? 1 << 31 : 0;
    return node;
  }

  /** Looks an operation up; -1 - (index of the result) when known, else 0. */
  private find(a: number, b: number, tag: number): number {
    const i = (this.mix(a, b, tag) & this.cacheMask) << 2;
    const cache = this.cache;
    return cache[i] === a && cache[i + 1] === b && cache[i + 2] === tag ? -1 - (i + 3) : 0;
  }

  private store(a: number, b: number, tag: number, result: StateSet): void {
    const i = (this.mix(a, b, tag) & this.cacheMask) << 2;
    const cache = this.cache;
    cache[i] = a;
    cache[i + 1] = b;
    cache[i + 2] = tag;
    cache[i + 3] = result;
  }

  private mix(a: number, b: number, tag: number): number {
    const h = Math.imul(a, 0x9e3779b1) ^ Math.imul(b, 0x85ebca6b) ^ Math.imul(tag, 0xc2b2ae35);
    return h ^ (h >>> 15);
  }

  private growCache(entries: number): void {
    const old = this.cache;
    this.cache = new Int32Array(entries << 2).fill(-1);
    this.cacheMask = entries - 1;
    for (let i = 0; i < old.length; i += 4)
      if (old[i]! >= 0) this.store(old[i]!, old[i + 1]!, old[i + 2]!, old[i + 3]!);
  }
}
