/**
 * Volts of the ends of contacts in every state: in some states those of one place in the circuit, in others those of another, each a tree
 * like that of a load. An end that nothing leads to floats and is at 0 V (MEANING.md, 19).
 */
import type { Decision } from "./decisions.ts";
import type { StateSet } from "./diagram.ts";
import { type LoadSets, type LoadWork, treeOf } from "./load-sets.ts";
import type { LoadTree } from "./load-tree.ts";

/** While `set` holds, an end of a contact has the volts that the tree tells. Sets of one end exclude each other. */
export interface EndVolts {
  readonly set: StateSet;
  readonly volts: LoadTree;
}

export class JointVolts {
  private readonly work: LoadWork;
  private readonly sets: LoadSets;
  private readonly trees = new Map<Decision, LoadTree>();
  private readonly ends: (readonly EndVolts[] | undefined)[] = [];

  constructor(work: LoadWork, sets: LoadSets) {
    this.work = work;
    this.sets = sets;
  }

  /** Volts of an end of a contact, which is no leg. */
  of(joint: number): readonly EndVolts[] {
    return (this.ends[joint] ??= this.sets.places[joint]!.map(({ set, decision }) => ({
      set,
      volts: this.tree(decision),
    })));
  }

  private tree(root: Decision): LoadTree {
    let tree = this.trees.get(root);
    if (tree === undefined) this.trees.set(root, (tree = treeOf(this.work, root)));
    return tree;
  }
}
