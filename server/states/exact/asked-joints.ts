/**
 * Joints whose volts are asked for while a stretch of circuit is made small: what takes a joint away says whose volts it had. In some
 * states those of one joint, in others those of another; in all the rest it floats.
 */
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";

/** While `set` holds, the owner has the volts of the joint. Sets of one owner exclude each other. */
interface Row {
  joint: number;
  set: StateSet;
  readonly owner: number;
}

export class AskedJoints {
  rows: Row[];
  private readonly diagrams: Diagrams;

  /** Asks for each joint; its owner is the place of its volts among results. */
  constructor(diagrams: Diagrams, joints: readonly number[], firstOwner: number) {
    this.diagrams = diagrams;
    this.rows = joints.map((joint, index) => ({ joint, set: FULL, owner: firstOwner + index }));
  }

  /** Joints that are called something else now. */
  rename(nameOf: (joint: number) => number): void {
    for (const row of this.rows) row.joint = nameOf(row.joint);
  }

  /** Nothing is left at the joint but one edge, which leads to `far` while `set` holds. */
  moveOver(joint: number, far: number, set: StateSet): void {
    for (const row of this.rows) {
      if (row.joint !== joint) continue;
      row.joint = far;
      row.set = this.diagrams.and(row.set, set);
    }
    this.tidy();
  }

  /** Nothing is at the joint any more. */
  drop(joint: number): void {
    this.rows = this.rows.filter((row) => row.joint !== joint);
  }

  /** Nothing is at the joint but two connections: to `a` while `whenA` holds, to `b` while `whenB` does. */
  moveBoth(joint: number, a: number, whenA: StateSet, b: number, whenB: StateSet): void {
    const { diagrams, rows } = this;
    const count = rows.length;
    for (let i = 0; i < count; i++) {
      const row = rows[i]!;
      if (row.joint !== joint) continue;
      const { set, owner } = row;
      row.joint = a;
      row.set = diagrams.and(set, whenA);
      rows.push({ joint: b, set: diagrams.and(set, diagrams.minus(whenB, whenA)), owner });
    }
    this.tidy();
  }

  /** Rows of one owner and joint become one. */
  private tidy(): void {
    const { diagrams } = this;
    const kept: Row[] = [];
    for (const row of this.rows) {
      if (row.set === EMPTY) continue;
      const other = kept.find(({ joint, owner }) => joint === row.joint && owner === row.owner);
      if (other === undefined) kept.push(row);
      else other.set = diagrams.or(other.set, row.set);
    }
    this.rows = kept;
  }
}
