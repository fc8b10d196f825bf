/**
 * Makes a stretch of circuit as small as it can be without changing any load's volts, and cuts it at the supply legs into
 * islands that do not influence each other.
 *
 * Edges lie flat in an array of numbers, six to an edge: kind, joint, joint, two numbers by kind, owner (load, or -1). Joints
 * below `legs` are supply legs.
 */
import type { AskedJoints } from "./asked-joints.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";

export const STRIDE = 6;
/** A connection while the set `x` holds. */
export const WIRE = 0;
/** A load or resistance: element `x` with impedance number `y`. */
export const PART = 1;
/** Element `x`, whose impedance is that of the position of the control at level `y`. */
export const VARYING = 2;
/** Element `y`, there while the set `x` holds. */
export const GATED = 3;
/** A winding of a transformer: element `x >> 1`, side `x & 1`; `y` is -1. Both sides belong to one island. */
export const COUPLED = 4;

export interface Islands {
  /** Those that touch different volts. */
  readonly live: readonly number[][];
  /** The others: no current flows there. */
  readonly still: readonly number[][];
}

export class Reducer {
  private degree = new Int32Array(64);
  private root = new Int32Array(64);
  private readonly diagrams: Diagrams;
  private readonly legs: number;
  /** Legs with the same volts have the same number. */
  private readonly potential: ArrayLike<number>;
  /** States in which something that varies conducts. */
  private readonly conducting: (element: number, level: number) => StateSet;

  constructor(
    diagrams: Diagrams,
    potential: ArrayLike<number>,
    conducting: (element: number, level: number) => StateSet,
  ) {
    this.diagrams = diagrams;
    this.legs = potential.length;
    this.potential = potential;
    this.conducting = conducting;
  }

  /**
   * Islands of the edges. `edges` is used up.
   *
   * @param asked told where the volts of its joints are to be found now
   */
  islands(edges: number[], joints: number, asked?: AskedJoints): Islands {
    if (this.degree.length < joints) {
      this.degree = new Int32Array(joints * 2);
      this.root = new Int32Array(joints * 2);
    }
    for (;;) {
      this.contract(edges, joints, asked);
      this.dropLooseEnds(edges, joints, asked);
      if (!this.joinChains(edges, joints, asked)) break;
    }
    return this.cut(edges, joints);
  }

  private find(joint: number): number {
    const root = this.root;
    while (root[joint] !== joint) {
      root[joint] = root[root[joint]!]!;
      joint = root[joint]!;
    }
    return joint;
  }

  /** Merges the ends of connections that are always there; drops those that never are and what has both ends on one joint. */
  private contract(edges: number[], joints: number, asked?: AskedJoints): void {
    const { root, legs } = this;
    for (let j = 0; j < joints; j++) root[j] = j;
    let any = false;
    for (let e = 0; e < edges.length; e += STRIDE) {
      if (edges[e] !== WIRE || edges[e + 3] !== FULL) continue;
      const a = this.find(edges[e + 1]!);
      const b = this.find(edges[e + 2]!);
      any = true;
      if (a === b || (a < legs && b < legs)) continue;
      if (a < b) root[b] = a;
      else root[a] = b;
    }
    if (any) asked?.rename((joint) => this.find(joint));
    let kept = 0;
    for (let e = 0; e < edges.length; e += STRIDE) {
      const kind = edges[e]!;
      const a = any ? this.find(edges[e + 1]!) : edges[e + 1]!;
      const b = any ? this.find(edges[e + 2]!) : edges[e + 2]!;
      const x = edges[e + 3]!;
      if (kind !== COUPLED) {
        if (a === b) continue;
        if (kind === WIRE && (x === FULL || x === EMPTY || (a < legs && b < legs))) continue;
        if (kind === GATED && x === EMPTY) continue;
      }
      edges[kept] = kind === GATED && x === FULL ? PART : kind;
      edges[kept + 1] = a;
      edges[kept + 2] = b;
      edges[kept + 3] = kind === GATED && x === FULL ? edges[e + 4]! : x;
      edges[kept + 4] = kind === GATED && x === FULL ? 0 : edges[e + 4]!;
      edges[kept + 5] = edges[e + 5]!;
      kept += STRIDE;
    }
    edges.length = kept;
  }

  private dropLooseEnds(edges: number[], joints: number, asked?: AskedJoints): void {
    const { degree, legs } = this;
    for (;;) {
      degree.fill(0, 0, joints);
      for (let e = 0; e < edges.length; e += STRIDE) {
        // A winding of a transformer keeps its joints: the current may close through the other side.
        const weight = edges[e] === COUPLED ? 2 : 1;
        degree[edges[e + 1]!]! += weight;
        degree[edges[e + 2]!]! += weight;
      }
      let kept = 0;
      for (let e = 0; e < edges.length; e += STRIDE) {
        const a = edges[e + 1]!;
        const b = edges[e + 2]!;
        if ((a >= legs && degree[a]! < 2) || (b >= legs && degree[b]! < 2)) {
          if (asked !== undefined) this.passOver(edges, e, asked);
          degree[a]!--;
          degree[b]!--;
          continue;
        }
        if (kept !== e) for (let i = 0; i < STRIDE; i++) edges[kept + i] = edges[e + i]!;
        kept += STRIDE;
      }
      if (kept === edges.length) return;
      edges.length = kept;
    }
  }

  /** What was asked at the loose end of an edge is asked at its other end. */
  private passOver(edges: readonly number[], e: number, asked: AskedJoints): void {
    const { degree, legs } = this;
    const a = edges[e + 1]!;
    const b = edges[e + 2]!;
    const [loose, far] = a >= legs && degree[a]! < 2 ? [a, b] : [b, a];
    asked.moveOver(loose, far, this.whereConducting(edges, e));
    // The other end is loose, too: nothing leads here.
    if (far >= legs && degree[far]! < 2) asked.drop(far);
  }

  /** States in which an edge leads from one of its ends to the other: connections while they are there, loads while they conduct. */
  private whereConducting(edges: readonly number[], e: number): StateSet {
    const kind = edges[e]!;
    if (kind === WIRE || kind === GATED) return edges[e + 3]!;
    return kind === VARYING ? this.conducting(edges[e + 3]!, edges[e + 4]!) : FULL;
  }

  /** By joint of an island at one potential: the states in which it has the volts of the island's legs. */
  reachIn(island: readonly number[]): Map<number, StateSet> {
    const { diagrams, legs } = this;
    const reach = new Map<number, StateSet>();
    const at = (joint: number): StateSet => (joint < legs ? FULL : (reach.get(joint) ?? EMPTY));
    for (let changed = true; changed; ) {
      changed = false;
      for (let e = 0; e < island.length; e += STRIDE) {
        const set = this.whereConducting(island, e);
        for (let side = 1; side <= 2; side++) {
          const to = island[e + side]!;
          const before = at(to);
          const after = diagrams.or(before, diagrams.and(set, at(island[e + 3 - side]!)));
          if (after === before) continue;
          reach.set(to, after);
          changed = true;
        }
      }
    }
    return reach;
  }

  /** Connections one after the other become one (AND), beside each other too (OR). True when something became always there. */
  private joinChains(edges: number[], joints: number, asked?: AskedJoints): boolean {
    const { degree, legs, diagrams } = this;
    // `root` is free here: it holds the last connection seen at a joint.
    const last = this.root;
    let changed = false;
    let again = true;
    while (again) {
      again = false;
      degree.fill(0, 0, joints);
      for (let e = 0; e < edges.length; e += STRIDE) {
        degree[edges[e + 1]!]! += edges[e] === WIRE ? 1 : 100;
        degree[edges[e + 2]!]! += edges[e] === WIRE ? 1 : 100;
      }
      last.fill(-1, 0, joints);
      for (let e = 0; e < edges.length; e += STRIDE) {
        if (edges[e] !== WIRE || edges[e + 3] === EMPTY) continue;
        for (let side = 1; side <= 2; side++) {
          const joint = edges[e + side]!;
          if (joint < legs || degree[joint] !== 2) continue;
          const other = last[joint]!;
          if (other < 0 || other === e || edges[other + 3] === EMPTY) {
            last[joint] = e;
            continue;
          }
          if (edges[other + 1] !== joint && edges[other + 2] !== joint) continue;
          const far = edges[other + 1] === joint ? edges[other + 2]! : edges[other + 1]!;
          asked?.moveBoth(joint, far, edges[other + 3]!, edges[e + 3 - side]!, edges[e + 3]!);
          edges[e + side] = far;
          edges[e + 3] = diagrams.and(edges[e + 3]!, edges[other + 3]!);
          edges[other + 3] = EMPTY;
          degree[joint] = 0;
          last[far] = -1;
          changed = again = true;
          break;
        }
      }
      for (let e = 0; e < edges.length; e += STRIDE) {
        if (edges[e] !== WIRE || edges[e + 3] === EMPTY) continue;
        const a = edges[e + 1]!;
        const b = edges[e + 2]!;
        if (a === b) {
          edges[e + 3] = EMPTY;
          changed = again = true;
          continue;
        }
        for (let f = e + STRIDE; f < edges.length; f += STRIDE) {
          if (edges[f] !== WIRE || edges[f + 3] === EMPTY) continue;
          if (!((edges[f + 1] === a && edges[f + 2] === b) || (edges[f + 1] === b && edges[f + 2] === a))) continue;
          edges[e + 3] = diagrams.or(edges[e + 3]!, edges[f + 3]!);
          edges[f + 3] = EMPTY;
          changed = again = true;
        }
      }
      let kept = 0;
      for (let e = 0; e < edges.length; e += STRIDE) {
        if (edges[e] === WIRE && edges[e + 3] === EMPTY) continue;
        if (kept !== e) for (let i = 0; i < STRIDE; i++) edges[kept + i] = edges[e + i]!;
        kept += STRIDE;
      }
      edges.length = kept;
    }
    return changed;
  }

  /** Connected stretches between the legs. */
  private cut(edges: number[], joints: number): Islands {
    const { root, legs } = this;
    for (let j = 0; j < joints; j++) root[j] = j;
    const join = (a: number, b: number): void => {
      a = this.find(a);
      b = this.find(b);
      if (a < b) root[b] = a;
      else root[a] = b;
    };
    const windings = new Map<number, number>();
    for (let e = 0; e < edges.length; e += STRIDE) {
      const a = edges[e + 1]!;
      const b = edges[e + 2]!;
      if (a >= legs && b >= legs) join(a, b);
    }
    // Windings whose ends are legs have no joint of their own: their island is named by the transformer.
    const nameOf = (e: number): number => {
      const a = edges[e + 1]!;
      const b = edges[e + 2]!;
      if (a >= legs) return this.find(a);
      if (b >= legs) return this.find(b);
      return edges[e] === COUPLED ? -2 - (edges[e + 3]! >> 1) : -1;
    };
    for (let e = 0; e < edges.length; e += STRIDE) {
      if (edges[e] !== COUPLED) continue;
      const name = nameOf(e);
      const partner = windings.get(edges[e + 3]! >> 1);
      if (partner === undefined) windings.set(edges[e + 3]! >> 1, name);
      else if (partner >= 0 && name >= 0) join(partner, name);
      else if (name >= 0) windings.set(edges[e + 3]! >> 1, name);
    }
    const found = new Map<number, number[]>();
    const islands: number[][] = [];
    for (let e = 0; e < edges.length; e += STRIDE) {
      let name = nameOf(e);
      if (edges[e] === COUPLED) {
        const partner = windings.get(edges[e + 3]! >> 1)!;
        name = partner >= 0 ? this.find(partner) : partner;
      }
      let island = name === -1 ? undefined : found.get(name);
      if (island === undefined) {
        island = [];
        islands.push(island);
        if (name !== -1) found.set(name, island);
      }
      for (let i = 0; i < STRIDE; i++) island.push(edges[e + i]!);
    }
    const [live, still]: [number[][], number[][]] = [[], []];
    for (const island of islands) (this.hasCurrent(island) ? live : still).push(island);
    return { live, still };
  }

  /** True when an island touches two different volts. */
  private hasCurrent(island: readonly number[]): boolean {
    const { legs, potential } = this;
    let first = -1;
    for (let e = 0; e < island.length; e += STRIDE) {
      for (let side = 1; side <= 2; side++) {
        const joint = island[e + side]!;
        if (joint >= legs) continue;
        if (first < 0) first = potential[joint]!;
        else if (first !== potential[joint]) return true;
      }
    }
    return false;
  }
}
