/**
 * Volts of joints in every state, as trees like those of loads: worked out zone by zone when the first of them is asked for, all
 * of a zone at once. A joint that nothing leads to floats and is at 0 V (MEANING.md, 19).
 */
import { type Decision, NONE } from "./decisions.ts";
import { edgesOf, type LoadWork, PIECES_PER_JOB, pieceJoints } from "./load-sets.ts";
import { LoadTree } from "./load-tree.ts";
import type { Zone } from "./zones.ts";

export class JointVolts {
  private readonly work: LoadWork;
  /** Pieces that may be worked out for it all, in this analysis. */
  private readonly trees: (LoadTree | undefined)[] = [];
  private readonly roots = new Map<Zone, ReadonlyMap<number, Decision>>();

  constructor(work: LoadWork) {
    this.work = work;
  }

  /**
   * Volts of an end of a contact, which is no leg.
   *
   * @param inJobs true when it may end in the middle, by `SLICE_END`, and go on when it is asked again
   */
  of(zone: Zone, joint: number, inJobs: boolean): LoadTree {
    return (this.trees[joint] ??= this.tree(this.rootsOf(zone, inJobs).get(joint)!));
  }

  private tree(root: Decision): LoadTree {
    const { store, elements, legs, types } = this.work;
    const shape = store.shapes.of(store.decisions, root);
    const count = shape.ends.length;
    const [re, im, size] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
    store.leaves.read(shape.ends, elements, legs, types, re, im);
    for (let end = 0; end < count; end++) size[end] = Math.sqrt(re[end]! * re[end]! + im[end]! * im[end]!);
    return new LoadTree(shape, re, im, size);
  }

  private rootsOf(zone: Zone, inJobs: boolean): ReadonlyMap<number, Decision> {
    const known = this.roots.get(zone);
    if (known !== undefined) return known;
    const { circuit, pieces } = this.work;
    const { jointOf, count } = pieceJoints(circuit);
    const isLeg = new Set(circuit.legJoint);
    const joints = new Set<number>();
    for (const contact of zone.contacts)
      for (const joint of [circuit.contactA[contact]!, circuit.contactB[contact]!])
        if (!isLeg.has(joint)) joints.add(joint);
    const all = [...joints];
    const edges = edgesOf(this.work, zone, jointOf, -1, false);
    const out: Decision[] = new Array(all.length).fill(NONE);
    pieces.slice = inJobs ? PIECES_PER_JOB : Infinity;
    pieces.solve(
      edges,
      count,
      out,
      undefined,
      all.map((joint) => jointOf[joint]!),
    );
    const roots = new Map(all.map((joint, index) => [joint, out[index]!]));
    this.roots.set(zone, roots);
    return roots;
  }
}
