/**
 * Volts of the ends of contacts in every state: in some states those of one place in the circuit, in others those of another, each a tree
 * like that of a load. Worked out zone by zone when the first of them is asked for, all of a zone at once. An end that nothing leads
 * to floats and is at 0 V (MEANING.md, 19).
 */
import type { Decision } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";
import { edgesOf, type LoadWork, PIECES_PER_JOB, pieceJoints } from "./load-sets.ts";
import { LoadTree } from "./load-tree.ts";
import type { JointPlace } from "./pieces.ts";
import type { Zone } from "./zones.ts";

/** While `set` holds, an end of a contact has the volts that the tree tells. Sets of one end exclude each other. */
export interface EndVolts {
  readonly set: StateSet;
  readonly volts: LoadTree;
}

export class JointVolts {
  private readonly work: LoadWork;
  private readonly trees = new Map<Decision, LoadTree>();
  private readonly ends = new Map<number, readonly EndVolts[]>();
  private readonly places = new Map<Zone, ReadonlyMap<number, readonly JointPlace[]>>();

  /** The budget of the analysis is not spent on joints. */
  private renewed = false;

  constructor(work: LoadWork) {
    this.work = work;
  }

  /**
   * Volts of an end of a contact, which is no leg.
   *
   * @param inJobs true when it may end in the middle, by `SLICE_END`, and go on when it is asked again
   */
  of(zone: Zone, joint: number, inJobs: boolean): readonly EndVolts[] {
    let ends = this.ends.get(joint);
    if (ends === undefined) {
      const places = this.placesIn(zone, inJobs).get(joint)!;
      ends = places.map(({ set, decision }) => ({ set, volts: this.tree(decision) }));
      this.ends.set(joint, ends);
    }
    return ends;
  }

  private tree(root: Decision): LoadTree {
    const known = this.trees.get(root);
    if (known !== undefined) return known;
    const { store, elements, legs, types } = this.work;
    const shape = store.shapes.of(store.decisions, root);
    const count = shape.ends.length;
    const [re, im, size] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
    store.leaves.read(shape.ends, elements, legs, types, re, im);
    for (let end = 0; end < count; end++) size[end] = Math.sqrt(re[end]! * re[end]! + im[end]! * im[end]!);
    const tree = new LoadTree(shape, re, im, size);
    this.trees.set(root, tree);
    return tree;
  }

  private placesIn(zone: Zone, inJobs: boolean): ReadonlyMap<number, readonly JointPlace[]> {
    const known = this.places.get(zone);
    if (known !== undefined) return known;
    const { circuit, pieces } = this.work;
    const { jointOf, count } = pieceJoints(circuit);
    const isLeg = new Set(circuit.legJoint);
    const joints = new Set<number>();
    for (const contact of zone.contacts)
      for (const joint of [circuit.contactA[contact]!, circuit.contactB[contact]!])
        if (!isLeg.has(joint)) joints.add(joint);
    const asked = [...joints];
    const edges = edgesOf(this.work, zone, jointOf, -1, false);
    if (!this.renewed) pieces.renew();
    this.renewed = true;
    pieces.slice = inJobs ? PIECES_PER_JOB : Infinity;
    const found = pieces.placesOf(
      edges,
      count,
      asked.map((joint) => jointOf[joint]!),
    );
    const places = new Map(asked.map((joint, index) => [joint, found[index]!]));
    this.places.set(zone, places);
    return places;
  }
}
