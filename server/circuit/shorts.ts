/** Legs tied together: found before anything is solved, reported with the shortest chain of contacts, then cut. */
import type { ContactId, LoadId } from "../machine/machine.ts";
import type { ShortCircuit } from "./circuit.ts";
import { DisjointSets } from "./disjoint-sets.ts";
import { type Network, shortOhms } from "./network.ts";
import type { Workspace } from "./workspace.ts";

/** Every pair of live legs of different volts that closed contacts tie together, with the shortest chain between them. */
export function findShorts(network: Network, w: Workspace): ShortCircuit[] {
  if (!anyShort(network, w)) return [];
  const { legs } = network;
  const { legJoint, machine } = network.circuit;
  const shorts: ShortCircuit[] = [];
  for (let i = 0; i < legs.length; i++) {
    for (let j = i + 1; j < legs.length; j++) {
      const from = legs[i]!;
      const to = legs[j]!;
      if (sameVolts(network, from, to)) continue;
      const ties = shortestTies(network, w, legJoint[from]!, legJoint[to]!);
      if (!ties) continue;
      const ids = machine.supply.legs;
      shorts.push({ legs: [ids[from]!.terminal, ids[to]!.terminal], ...kindsOf(network, ties) });
    }
  }
  return shorts;
}

/**
 * Cuts the ties through which legs of different volts meet, so that the rest can be solved: each joint keeps the nearest
 * leg's volts, and the ties between two such territories are marked 2.
 */
export function cutShorts(network: Network, w: Workspace): void {
  const owner = new Int32Array(network.jointCount).fill(-1);
  const queue: number[] = [];
  for (const leg of network.legs) {
    const joint = network.circuit.legJoint[leg]!;
    if (owner[joint] !== -1) continue;
    owner[joint] = leg;
    queue.push(joint);
  }
  for (let head = 0; head < queue.length; head++) {
    const joint = queue[head]!;
    for (let at = network.tieStart[joint]!; at < network.tieStart[joint + 1]!; at++) {
      const tie = network.tiesOf[at]!;
      if (!w.tieClosed[tie]) continue;
      const other = network.tieA[tie] === joint ? network.tieB[tie]! : network.tieA[tie]!;
      if (owner[other] === -1) {
        owner[other] = owner[joint]!;
        queue.push(other);
      }
    }
  }
  for (let tie = 0; tie < network.tieCount; tie++) {
    if (!w.tieClosed[tie]) continue;
    const a = owner[network.tieA[tie]!]!;
    const b = owner[network.tieB[tie]!]!;
    if (a !== b && a >= 0 && b >= 0 && !sameVolts(network, a, b)) w.tieClosed[tie] = 2;
  }
}

function sameVolts({ legRe, legIm }: Network, a: number, b: number): boolean {
  return legRe[a] === legRe[b] && legIm[a] === legIm[b];
}

/** A contact that is closed through so few ohms that legs joined by it are shorted for all that matters. */
function isLowOhms(network: Network, w: Workspace, slot: number): boolean {
  const ohms = network.contactOhms[slot]!;
  return w.branchKind[slot] !== 0 && w.zIm[slot] === 0 && ohms > 0 && ohms <= shortOhms;
}

function anyShort(network: Network, w: Workspace): boolean {
  const { legs, circuit } = network;
  const contacts = circuit.machine.contacts.length;
  let sets = w.groups;
  if (network.hasLowOhms) {
    sets = new DisjointSets(network.jointCount);
    for (let tie = 0; tie < network.tieCount; tie++)
      if (w.tieClosed[tie] || (tie < contacts && isLowOhms(network, w, tie)))
        sets.join(network.tieA[tie]!, network.tieB[tie]!);
  }
  for (let i = 0; i < legs.length; i++)
    for (let j = i + 1; j < legs.length; j++)
      if (!sameVolts(network, legs[i]!, legs[j]!))
        if (sets.find(circuit.legJoint[legs[i]!]!) === sets.find(circuit.legJoint[legs[j]!]!)) return true;
  return false;
}

/**
 * Shortest chain of closed ties from one joint to another that goes through no third leg (such a short is told by the pairs
 * it consists of) and sums to at most `shortOhms`. Undefined when there is none.
 */
function shortestTies(network: Network, w: Workspace, from: number, to: number): number[] | undefined {
  const contacts = network.circuit.machine.contacts.length;
  const cameBy = new Int32Array(network.jointCount).fill(-1);
  const ohms = new Float64Array(network.jointCount);
  const seen = new Uint8Array(network.jointCount);
  const queue = [from];
  seen[from] = 1;
  for (let head = 0; head < queue.length; head++) {
    const joint = queue[head]!;
    if (joint === to) break;
    if (joint !== from && w.isLeg[joint]) continue;
    for (let at = network.tieStart[joint]!; at < network.tieStart[joint + 1]!; at++) {
      const tie = network.tiesOf[at]!;
      const low = !w.tieClosed[tie] && tie < contacts && isLowOhms(network, w, tie);
      if (!w.tieClosed[tie] && !low) continue;
      const other = network.tieA[tie] === joint ? network.tieB[tie]! : network.tieA[tie]!;
      const sum = ohms[joint]! + (low ? network.contactOhms[tie]! : 0);
      if (seen[other] || sum > shortOhms) continue;
      seen[other] = 1;
      ohms[other] = sum;
      cameBy[other] = tie;
      queue.push(other);
    }
  }
  if (!seen[to]) return undefined;
  const ties: number[] = [];
  for (let joint = to; joint !== from; ) {
    const tie = cameBy[joint]!;
    ties.push(tie);
    joint = network.tieA[tie] === joint ? network.tieB[tie]! : network.tieA[tie]!;
  }
  return ties.reverse();
}

function kindsOf(network: Network, ties: readonly number[]): Omit<ShortCircuit, "legs"> {
  const { contacts: allContacts, loads: allLoads } = network.circuit.machine;
  const contacts: ContactId[] = [];
  const loads: LoadId[] = [];
  const added: number[] = [];
  for (const tie of ties) {
    if (tie < allContacts.length) contacts.push(tie);
    else if (tie < allContacts.length + allLoads.length) loads.push(tie - allContacts.length);
    else if (network.fixedTieAdded[tie - allContacts.length - allLoads.length]! >= 0)
      added.push(network.fixedTieAdded[tie - allContacts.length - allLoads.length]!);
  }
  return { contacts, ...(loads.length ? { loads } : {}), ...(added.length ? { added } : {}) };
}
