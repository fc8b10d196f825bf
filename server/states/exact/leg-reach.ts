/** Which joints closed contacts tie to which leg, as sets of states. */
import type { Circuit } from "../../circuit/circuit.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";

/** Links between joints: connection i joins `a[i]` and `b[i]` in the states `set[i]`; `at`: links at each joint. */
export interface Links {
  readonly a: ArrayLike<number>;
  readonly b: ArrayLike<number>;
  readonly set: ArrayLike<StateSet>;
  readonly at: readonly (readonly number[])[];
}

export function linksAt(joints: number, a: ArrayLike<number>, b: ArrayLike<number>): number[][] {
  const at: number[][] = Array.from({ length: joints }, () => []);
  for (let i = 0; i < a.length; i++) {
    if (a[i] === b[i]) continue;
    at[a[i]!]!.push(i);
    at[b[i]!]!.push(i);
  }
  return at;
}

/**
 * For each joint the states in which the links join it with `from`.
 *
 * @param start states that matter
 * @param stop joints that links may lead to but not on from (1 = stop)
 * @param without a link that does not count
 */
export function reachSets(
  diagrams: Diagrams,
  links: Links,
  from: number,
  start: StateSet = FULL,
  stop?: Uint8Array,
  without = -1,
): Int32Array {
  const joints = links.at.length;
  const reach = new Int32Array(joints).fill(EMPTY);
  reach[from] = start;
  const queue = [from];
  const waiting = new Uint8Array(joints);
  waiting[from] = 1;
  for (let head = 0; head < queue.length; head++) {
    const joint = queue[head]!;
    waiting[joint] = 0;
    if (stop?.[joint] === 1 && joint !== from) continue;
    for (const i of links.at[joint]!) {
      if (i === without || links.set[i] === EMPTY) continue;
      const other = links.a[i] === joint ? links.b[i]! : links.a[i]!;
      const more = diagrams.or(reach[other]!, diagrams.and(reach[joint]!, links.set[i]!));
      if (more === reach[other]) continue;
      reach[other] = more;
      if (waiting[other] === 0) {
        waiting[other] = 1;
        queue.push(other);
      }
    }
  }
  return reach;
}

/** A chain of contacts of at most this many ohms still counts as a short (as in `server/circuit/network.ts`). */
const SHORT_OHMS = 1;

export interface LegReach {
  /** For each leg, for each joint: the states in which contacts tie them. */
  readonly reach: readonly Int32Array[];
  /** The same for chains that count as a short: without contacts of more ohms than a short has, with loads of 0 ohm. */
  readonly shortReach: readonly Int32Array[];
  /** States in which legs of different volts are tied by nothing but contacts and loads of 0 ohm. */
  readonly shorted: StateSet;
}

/** @param dead for each load the states in which it has no impedance at all */
export function legReach(
  circuit: Circuit,
  diagrams: Diagrams,
  closed: ArrayLike<StateSet>,
  dead: readonly StateSet[],
): LegReach {
  const { machine, jointCount, legJoint } = circuit;
  const { contactA, contactB } = circuit;
  const links: Links = { a: contactA, b: contactB, set: closed, at: linksAt(jointCount, contactA, contactB) };
  const reach = Array.from(legJoint, (joint) => reachSets(diagrams, links, joint));
  let shortReach = reach;
  // Chains for shorts: contacts with resistance beyond a short's are left out, loads of 0 ohm taken in.
  const resistive = machine.contacts.some(({ ohms }) => ohms > SHORT_OHMS);
  const ties = machine.loads.filter(({ id }) => dead[id] !== EMPTY);
  if (resistive || ties.length > 0) {
    const wires = machine.contacts.filter(({ ohms }) => ohms <= SHORT_OHMS);
    const a = [...wires.map(({ id }) => contactA[id]!), ...ties.map(({ id }) => circuit.loadA[id]!)];
    const b = [...wires.map(({ id }) => contactB[id]!), ...ties.map(({ id }) => circuit.loadB[id]!)];
    const set = [...wires.map(({ id }) => closed[id]!), ...ties.map(({ id }) => dead[id]!)];
    const chains: Links = { a, b, set, at: linksAt(jointCount, a, b) };
    shortReach = Array.from(legJoint, (joint) => reachSets(diagrams, chains, joint));
  }
  return { reach, shortReach, shorted: shortedOf(circuit, diagrams, shortReach) };
}

/** The same for other legs: each at the joint of one of the circuit's own, by its index there. */
export function legReachFrom(known: LegReach, legs: readonly number[], circuit: Circuit, diagrams: Diagrams): LegReach {
  const reach = legs.map((leg) => known.reach[leg]!);
  const shortReach = legs.map((leg) => known.shortReach[leg]!);
  return { reach, shortReach, shorted: shortedOf(circuit, diagrams, shortReach) };
}

/** States in which legs of different volts are tied. */
function shortedOf(
  { legJoint, legRe, legIm }: Circuit,
  diagrams: Diagrams,
  shortReach: readonly Int32Array[],
): StateSet {
  let shorted: StateSet = EMPTY;
  for (let i = 0; i < legJoint.length; i++)
    for (let j = i + 1; j < legJoint.length; j++)
      if (legRe[i] !== legRe[j] || legIm[i] !== legIm[j]) shorted = diagrams.or(shorted, shortReach[i]![legJoint[j]!]!);
  return shorted;
}
