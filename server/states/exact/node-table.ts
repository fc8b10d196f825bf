/**
 * The nodes behind sets of states: each once, so that equal sets have equal numbers; and the memory of operations done. Numbers sit in
 * flat arrays that double when full. What can be asked of sets stands in `set-algebra.ts` and `diagram.ts`.
 */
import { IntTable } from "./int-table.ts";

/** A set of states: a number given out by one `Diagrams`. */
export type StateSet = number;
export const EMPTY: StateSet = 0;
export const FULL: StateSet = 1;
/** Level of the ends, below every variable; also names the step control wherever a level is asked for. */
export const STEPS = 0xffff;

export class NodeTable {
  readonly stepCount: number;
  /** Number of positions of the variable at each level. */
  readonly arity: number[] = [];
  protected readonly words: number;
  protected level = new Uint16Array(4096);
  protected first = new Int32Array(4096);
  protected kids = new Int32Array(16384);
  /** Which levels a set depends on: bit (level mod 31), bit 31 for the steps. */
  protected signs = new Int32Array(4096);
  private kidsUsed = 0;
  private nodes = 0;
  /** Node and hash by turns; -1 where free. */
  private unique = new Int32Array(32768).fill(-1);
  private readonly stepSets = new IntTable();
  private stepSetNode = new Int32Array(64);
  private readonly fullWords: Int32Array;
  protected readonly scratch: Int32Array;
  private stack = new Int32Array(4096);
  protected top = 0;
  protected cache = new Int32Array(4 << 13).fill(-1);
  private cacheMask = (1 << 13) - 1;

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
  /** Node from `n` branches that depend on levels below `level` only. */
  branches(level: number, sets: readonly StateSet[]): StateSet {
    const base = this.top;
    for (const set of sets) this.push(set);
    return this.node(level, base);
  }

  protected push(set: StateSet): void {
    if (this.top >= this.stack.length) {
      const bigger = new Int32Array(this.stack.length * 2);
      bigger.set(this.stack);
      this.stack = bigger;
    }
    this.stack[this.top++] = set;
  }

  /** The one node with two branches. */
  protected pair(level: number, low: StateSet, high: StateSet): StateSet {
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
  protected node(level: number, base: number): StateSet {
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
    const unique = new Int32Array(old.length * 2).fill(-1);
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

  protected endOfScratch(): StateSet {
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
  protected find(a: number, b: number, tag: number): number {
    const i = (this.mix(a, b, tag) & this.cacheMask) << 2;
    const cache = this.cache;
    return cache[i] === a && cache[i + 1] === b && cache[i + 2] === tag ? -1 - (i + 3) : 0;
  }

  protected store(a: number, b: number, tag: number, result: StateSet): void {
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
