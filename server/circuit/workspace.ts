/** Buffers for solving, made once per network size and used again for every state. */
import { Beside } from "../base/beside.ts";
import { DisjointSets } from "./disjoint-sets.ts";
import type { Network } from "./network.ts";

/** What a branch is in the state at hand. */
export const absent = 0;
/** Has an admittance. */
export const ordinary = 1;
/** So low in ohms that its current is an unknown of its own, which keeps the equations well conditioned. */
export const stiff = 2;

export class Workspace {
  /** 1 where the tie is closed, 2 where it ties legs together (a short) and was cut. */
  readonly tieClosed: Uint8Array;
  readonly groups: DisjointSets;
  /** Group of each joint: joints that closed ties make one, named by their lowest joint. */
  readonly groupOf: Int32Array;
  /** 1 where the group's volts are given: legs, and one end of a floating transformer winding. By group. */
  readonly fixed: Uint8Array;
  readonly voltsRe: Float64Array;
  readonly voltsIm: Float64Array;
  readonly branchKind: Uint8Array;
  /** Impedance and admittance of each branch that is there. */
  readonly zRe: Float64Array;
  readonly zIm: Float64Array;
  readonly yRe: Float64Array;
  readonly yIm: Float64Array;
  /** Current of each branch from a to b. */
  readonly ampsRe: Float64Array;
  readonly ampsIm: Float64Array;
  readonly islands: DisjointSets;
  /** By island (its lowest group): fed by a leg or a transformer. */
  readonly islandFed: Uint8Array;
  /** Lists by island: unknown groups and branches. */
  readonly firstGroup: Int32Array;
  readonly nextGroup: Int32Array;
  readonly firstBranch: Int32Array;
  readonly nextBranch: Int32Array;
  readonly unknownOf: Int32Array;
  readonly transformerOn: Uint8Array;
  readonly transformerRe: Float64Array;
  readonly transformerIm: Float64Array;
  /** Current that leaves each joint into branches and transformers. */
  readonly outRe: Float64Array;
  readonly outIm: Float64Array;
  readonly degree: Int32Array;
  readonly tieLeft: Uint8Array;
  readonly queue: Int32Array;
  readonly tieRe: Float64Array;
  readonly tieIm: Float64Array;
  /** 1 where the joint is the joint of a leg that is there. */
  readonly isLeg: Uint8Array;
  #size = 0;
  aRe = new Float64Array(0);
  aIm = new Float64Array(0);
  bRe = new Float64Array(0);
  bIm = new Float64Array(0);

  constructor(joints: number, ties: number, branches: number, transformers: number) {
    this.tieClosed = new Uint8Array(ties);
    this.groups = new DisjointSets(joints);
    this.groupOf = new Int32Array(joints);
    this.fixed = new Uint8Array(joints);
    this.voltsRe = new Float64Array(joints);
    this.voltsIm = new Float64Array(joints);
    this.branchKind = new Uint8Array(branches);
    this.zRe = new Float64Array(branches);
    this.zIm = new Float64Array(branches);
    this.yRe = new Float64Array(branches);
    this.yIm = new Float64Array(branches);
    this.ampsRe = new Float64Array(branches);
    this.ampsIm = new Float64Array(branches);
    this.islands = new DisjointSets(joints);
    this.islandFed = new Uint8Array(joints);
    this.firstGroup = new Int32Array(joints);
    this.nextGroup = new Int32Array(joints);
    this.firstBranch = new Int32Array(joints);
    this.nextBranch = new Int32Array(branches);
    this.unknownOf = new Int32Array(joints);
    this.transformerOn = new Uint8Array(transformers);
    this.transformerRe = new Float64Array(transformers);
    this.transformerIm = new Float64Array(transformers);
    this.outRe = new Float64Array(joints);
    this.outIm = new Float64Array(joints);
    this.degree = new Int32Array(joints);
    this.tieLeft = new Uint8Array(ties);
    this.queue = new Int32Array(joints);
    this.tieRe = new Float64Array(ties);
    this.tieIm = new Float64Array(ties);
    this.isLeg = new Uint8Array(joints);
  }

  /** Clears room for `n` equations. */
  equations(n: number): void {
    if (n > this.#size) {
      this.#size = n;
      this.aRe = new Float64Array(n * n);
      this.aIm = new Float64Array(n * n);
      this.bRe = new Float64Array(n);
      this.bIm = new Float64Array(n);
      return;
    }
    this.aRe.fill(0, 0, n * n);
    this.aIm.fill(0, 0, n * n);
    this.bRe.fill(0, 0, n);
    this.bIm.fill(0, 0, n);
  }
}

const workspaces = new Map<string, Workspace>();
const workspaceOf = new Beside<Network, Workspace>();

/** The buffers for a network. Solving is synchronous, so all networks of one size can share them. */
export function workspaceFor(network: Network): Workspace {
  const kept = workspaceOf.get(network);
  if (kept) return kept;
  const { jointCount, tieCount, branchCount, transformers } = network;
  const size = `${jointCount} ${tieCount} ${branchCount} ${transformers.length}`;
  let workspace = workspaces.get(size);
  if (!workspace) {
    // Texts change while they are typed: keep the buffers of a few sizes only.
    if (workspaces.size >= 8) workspaces.delete(workspaces.keys().next().value!);
    workspaces.set(size, (workspace = new Workspace(jointCount, tieCount, branchCount, transformers.length)));
  }
  workspaceOf.set(network, workspace);
  return workspace;
}
