/**
 * Current through a contact that closes a ring of contacts, or a way from leg to leg: Kirchhoff's law alone does not tell it, since
 * the contacts of the ring share what flows. They share it as equal small resistances do (`server/circuit/tie-currents.ts`), so that
 * the current is a sum of load currents, each times a share that depends on which contacts make up the ring: one sum for each
 * arrangement of closed contacts that a ring through the contact can have.
 */

import type { Circuit } from "../../circuit/circuit.ts";
import { solveLinear } from "../../circuit/linear.ts";
import type { ContactId } from "../../machine/machine.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";
import type { Side } from "./flow.ts";
import { type Links, reachSets } from "./leg-reach.ts";
import type { LoadWork } from "./load-sets.ts";

/** More arrangements than this of one contact are not told apart. */
const MOST_ARRANGEMENTS = 400;

/** The contacts of one ring, all of them closed, with every other contact that could be part of it open. */
interface Arrangement {
  readonly where: StateSet;
  readonly ring: readonly ContactId[];
}

/** Where joints off the ring hang on to it. */
interface Attached {
  /** Joints of the ring. */
  readonly joints: readonly number[];
  /** For each joint of the ring, for each joint: the states in which contacts off the ring join them, not through legs. */
  readonly reach: readonly Int32Array[];
}

export class Rings {
  /** Only what rings are made of: they are kept, and hold on to no text. */
  private readonly work: {
    readonly circuit: Pick<Circuit, "contactA" | "contactB" | "loadA" | "loadB" | "legJoint" | "jointCount">;
    readonly diagrams: Diagrams;
    readonly closed: Int32Array;
    readonly contactsAt: readonly (readonly ContactId[])[];
  };
  private readonly isLeg: Uint8Array;
  private readonly attached = new Map<string, Attached>();

  constructor(work: LoadWork) {
    const { space, closed, contactsAt } = work;
    const { contactA, contactB, loadA, loadB, legJoint, jointCount } = work.circuit;
    const circuit = { contactA, contactB, loadA, loadB, legJoint, jointCount };
    this.work = { circuit, diagrams: space.diagrams, closed, contactsAt };
    this.isLeg = new Uint8Array(work.circuit.jointCount);
    for (const joint of work.circuit.legJoint) this.isLeg[joint] = 1;
  }

  /**
   * The sums for a contact in states in which it is part of a ring.
   *
   * @param rigid true when the contact stands for a conductor without any resistance, beside which the others are large
   * @returns `left`: states that are not told apart
   */
  of(contact: ContactId, states: StateSet, rigid: boolean): { sides: Side[]; left: StateSet } {
    const { diagrams } = this.work;
    const found: Arrangement[] = [];
    const off = new Uint8Array(this.work.circuit.contactA.length);
    const at = this.ends();
    for (let id = 0; id < off.length; id++) off[id] = diagrams.meets(states, this.work.closed[id]!) ? 0 : 1;
    let left = states;
    const split = (where: StateSet, without: Uint8Array, closed: ReadonlySet<ContactId>): void => {
      const ring = this.ringThrough(contact, without, at);
      const open = ring.filter((id) => id !== contact && !closed.has(id));
      if (open.length === 0) {
        if (ring.length > 1 && found.length < MOST_ARRANGEMENTS) {
          found.push({ where, ring });
          left = diagrams.minus(left, where);
        }
        return;
      }
      // Contacts one behind the other close a ring together or not at all.
      const chain = this.chainOf(open[0]!, ring).filter((id) => id !== contact && !closed.has(id));
      let all = where;
      for (const id of chain) all = diagrams.and(all, this.work.closed[id]!);
      if (diagrams.meets(states, all)) split(all, without, new Set([...closed, ...chain]));
      const broken = diagrams.minus(where, all);
      if (!diagrams.meets(states, broken)) return;
      const less = without.slice();
      for (const id of chain) less[id] = 1;
      split(broken, less, closed);
    };
    split(this.work.closed[contact]!, off, new Set());
    return { sides: found.flatMap((one) => this.sidesOf(contact, one, states, rigid)), left };
  }

  /** The sums of one arrangement: one for each joint of the ring that the supply may come in at. */
  private sidesOf(contact: ContactId, { where, ring }: Arrangement, states: StateSet, rigid: boolean): Side[] {
    const { work } = this;
    const { diagrams } = work;
    const { joints, reach } = this.attachedTo(ring);
    const shares = this.shares(contact, ring, joints, rigid);
    const side = (set: StateSet, from: number): Side[] =>
      diagrams.meets(states, set)
        ? [
            {
              where: set,
              loads: this.loadsOn(
                joints,
                reach,
                shares.map((share) => share - from),
              ),
            },
          ]
        : [];
    if (joints.some((joint) => this.isLeg[joint] === 1)) return side(where, 0);
    const sides: Side[] = [];
    let loose = where;
    joints.forEach((_, j) => {
      let fed: StateSet = EMPTY;
      for (const leg of work.circuit.legJoint) fed = diagrams.or(fed, reach[j]![leg]!);
      sides.push(...side(diagrams.and(where, fed), shares[j]!));
      loose = diagrams.minus(loose, fed);
    });
    return [...sides, ...side(loose, 0)];
  }

  private loadsOn(joints: readonly number[], reach: readonly Int32Array[], shares: readonly number[]): Side["loads"] {
    const { circuit, diagrams } = this.work;
    const loads: Side["loads"][number][] = [];
    for (let id = 0; id < circuit.loadA.length; id++) {
      const [a, b] = [circuit.loadA[id]!, circuit.loadB[id]!];
      if (a === b) continue;
      const byFactor = new Map<number, StateSet>();
      const add = (factor: number, set: StateSet): void => {
        const rounded = Math.round(factor * 1e12) / 1e12;
        if (set !== EMPTY && rounded !== 0) byFactor.set(rounded, diagrams.or(byFactor.get(rounded) ?? EMPTY, set));
      };
      const hangs = (joint: number): StateSet[] =>
        joints.map((_, j) => (this.isLeg[joint] === 1 ? EMPTY : reach[j]![joint]!));
      const ofB = hangs(b);
      const anyB = ofB.reduce((all, set) => diagrams.or(all, set), EMPTY);
      let noA: StateSet = FULL;
      hangs(a).forEach((setA, j) => {
        if (setA === EMPTY) return;
        noA = diagrams.minus(noA, setA);
        add(shares[j]!, diagrams.minus(setA, anyB));
        // Both ends on the ring: what goes out at one joint comes back at the other.
        ofB.forEach((setB, k) => {
          if (k !== j) add(shares[j]! - shares[k]!, diagrams.and(setA, setB));
        });
      });
      ofB.forEach((setB, k) => {
        add(-shares[k]!, diagrams.and(setB, noA));
      });
      if (byFactor.size > 0)
        loads.push({ load: id, parts: [...byFactor].map(([factor, within]) => ({ within, factor })) });
    }
    return loads;
  }

  /** For each joint of the ring: current through the contact (first end to second) for each ampere that leaves the ring there. */
  private shares(contact: ContactId, ring: readonly ContactId[], joints: readonly number[], rigid: boolean): number[] {
    const { contactA, contactB } = this.work.circuit;
    const [first, second] = [contactA[contact]!, contactB[contact]!];
    // Legs hold the potential 0; a ring without one is held at its first joint. A rigid contact makes its ends one.
    const held = joints.some((joint) => this.isLeg[joint] === 1) ? -1 : joints[0]!;
    const ground = (joint: number): boolean => this.isLeg[joint] === 1 || joint === held;
    const oneOf = (joint: number): number =>
      rigid && (joint === first || joint === second)
        ? ground(first)
          ? first
          : ground(second)
            ? second
            : first
        : joint;
    const end = this.isLeg[second] === 1 ? first : second;
    const rows = new Map<number, number>();
    for (const joint of joints) {
      const one = oneOf(joint);
      if (!ground(one) && !rows.has(one)) rows.set(one, rows.size);
    }
    const n = rows.size;
    const row = (joint: number): number => rows.get(oneOf(joint)) ?? -1;
    const matrix = new Float64Array(n * n);
    const right = new Float64Array(n);
    const add = (i: number, k: number, value: number): void => {
      if (i >= 0 && k >= 0) matrix[i * n + k]! += value;
    };
    for (const id of ring) {
      const [a, b] = [row(contactA[id]!), row(contactB[id]!)];
      if (rigid && id === contact) continue;
      add(a, a, 1);
      add(b, b, 1);
      add(a, b, -1);
      add(b, a, -1);
      if (!rigid) continue;
      // Through a rigid contact flows what leaves its end by loads and by the other contacts.
      if (contactA[id] !== end && contactB[id] !== end) continue;
      const [here, there] = contactA[id] === end ? [a, b] : [b, a];
      if (here >= 0) right[here]! += 1;
      if (there >= 0) right[there]! -= 1;
    }
    if (!rigid) {
      if (row(first) >= 0) right[row(first)]! += 1;
      if (row(second) >= 0) right[row(second)]! -= 1;
    }
    if (n > 0) solveLinear(n, matrix, new Float64Array(n * n), right, new Float64Array(n));
    return joints.map((joint) => {
      const at = row(joint) < 0 ? 0 : right[row(joint)]!;
      return rigid ? (end === second ? 1 : -1) * ((joint === end ? 1 : 0) - at) : -at;
    });
  }

  private attachedTo(ring: readonly ContactId[]): Attached {
    const key = [...ring].sort((p, q) => p - q).join(" ");
    let attached = this.attached.get(key);
    if (attached !== undefined) return attached;
    const { circuit, diagrams, closed, contactsAt } = this.work;
    const joints = [...new Set(ring.flatMap((id) => [circuit.contactA[id]!, circuit.contactB[id]!]))];
    const set = Int32Array.from(closed);
    for (const id of ring) set[id] = EMPTY;
    const links: Links = { a: circuit.contactA, b: circuit.contactB, set, at: contactsAt };
    const stop = this.isLeg.slice();
    for (const joint of joints) stop[joint] = 1;
    const reach = joints.map((joint) =>
      this.isLeg[joint] === 1
        ? new Int32Array(circuit.jointCount).fill(EMPTY)
        : reachSets(diagrams, links, joint, FULL, stop),
    );
    this.attached.set(key, (attached = { joints, reach }));
    return attached;
  }

  /** Contacts at each joint, all legs being one joint (0; the others are numbered from 1). */
  private ends(): { a: Int32Array; b: Int32Array; at: number[][] } {
    const { circuit } = this.work;
    const of = (joint: number): number => (this.isLeg[joint] === 1 ? 0 : joint + 1);
    const a = Int32Array.from(circuit.contactA, of);
    const b = Int32Array.from(circuit.contactB, of);
    const at: number[][] = Array.from({ length: circuit.jointCount + 1 }, () => []);
    for (let id = 0; id < a.length; id++) {
      if (a[id] === b[id]) continue;
      at[a[id]!]!.push(id);
      at[b[id]!]!.push(id);
    }
    return { a, b, at };
  }

  /** The contacts that lie on some ring with this one (a block of the graph), itself among them. `off`: contacts left out. */
  private ringThrough(contact: ContactId, off: Uint8Array, { a, b, at }: ReturnType<Rings["ends"]>): ContactId[] {
    if (a[contact] === b[contact]) return [contact];
    const order = new Map<number, number>();
    const stack: ContactId[] = [];
    let block: ContactId[] = [contact];
    const visit = (joint: number, via: ContactId): number => {
      const mine = order.size;
      order.set(joint, mine);
      let low = mine;
      for (const id of at[joint]!) {
        if (id === via || off[id] === 1) continue;
        const other = a[id] === joint ? b[id]! : a[id]!;
        const known = order.get(other);
        if (known !== undefined) {
          if (known < mine) stack.push(id);
          low = Math.min(low, known);
          continue;
        }
        const depth = stack.length;
        stack.push(id);
        const lowest = visit(other, id);
        low = Math.min(low, lowest);
        if (lowest < mine) continue;
        const piece = stack.splice(depth);
        if (piece.includes(contact)) block = piece;
      }
      return low;
    };
    visit(a[contact]!, -1);
    return block;
  }

  /** The contacts of a ring that are one behind the other with this one: nothing else of the ring is between them. */
  private chainOf(contact: ContactId, ring: readonly ContactId[]): ContactId[] {
    const { contactA, contactB } = this.work.circuit;
    const chain = [contact];
    for (const start of [contactA[contact]!, contactB[contact]!]) {
      let joint = start;
      let last = contact;
      for (;;) {
        if (this.isLeg[joint] === 1) break;
        const here = ring.filter((id) => contactA[id] === joint || contactB[id] === joint);
        const next = here.find((id) => id !== last);
        if (here.length !== 2 || next === undefined || chain.includes(next)) break;
        chain.push(next);
        last = next;
        joint = contactA[next] === joint ? contactB[next]! : contactA[next]!;
      }
    }
    return chain;
  }
}
