/**
 * Diodes. One case is solved: a diode alone in a purely resistive series path between two leg volts. It conducts in every
 * other half-wave, when all currents are as if it were closed, and nothing flows in between: half power, 70.7 % of the rms
 * values. Anything else with a diode that carries current is said to be not solved.
 */
import type { LoadId } from "../machine/machine.ts";
import { DisjointSets } from "./disjoint-sets.ts";
import type { Network } from "./network.ts";
import { absent, type Workspace } from "./workspace.ts";

export interface HalfWavePath {
  readonly diode: LoadId;
  /** Branch slots that carry its current or a part of it. */
  readonly branches: readonly number[];
  /** Groups of joints with volts that no phasor tells. */
  readonly groups: readonly number[];
}

export interface DiodePaths {
  readonly halfWave: readonly HalfWavePath[];
  /** Branch slots and groups of pieces that are not solved. */
  readonly unsolved: readonly { readonly branches: readonly number[]; readonly groups: readonly number[] }[];
}

/** Sorts out the conducting diodes: those in dead ends are taken away (their branch is absent), the others told apart. */
export function findDiodePaths(network: Network, w: Workspace): DiodePaths {
  const { branchA, branchB, branchCount, jointCount, loadSlot } = network;
  const { groupOf, fixed } = w;
  const groupAt = (ends: Int32Array, slot: number): number => groupOf[ends[slot]!]!;
  let diodes: number[] = [];
  for (let load = 0; load < network.isDiode.length; load++) {
    const slot = loadSlot + load;
    if (!network.isDiode[load] || w.branchKind[slot] === absent) continue;
    if (groupAt(branchA, slot) === groupAt(branchB, slot)) w.branchKind[slot] = absent;
    else diodes.push(slot);
  }
  if (diodes.length === 0) return { halfWave: [], unsolved: [] };

  // Pieces that hang together without diodes, cut at the legs.
  const pieces = new DisjointSets(jointCount);
  const isDiodeSlot = (slot: number): boolean => network.isDiode[slot - loadSlot] === 1;
  const join = (a: number, b: number): void => {
    if (!fixed[a] && !fixed[b]) pieces.join(a, b);
  };
  for (let slot = 0; slot < branchCount; slot++)
    if (w.branchKind[slot] !== absent && !isDiodeSlot(slot)) join(groupAt(branchA, slot), groupAt(branchB, slot));
  for (const { p1, p2, s1, s2 } of network.transformers) {
    join(groupOf[p1]!, groupOf[p2]!);
    join(groupOf[s1]!, groupOf[s2]!);
  }
  const pieceOf = (group: number): number => (fixed[group] ? group : pieces.find(group));

  // Leg volts that each piece touches, and whether it is purely resistive. A leg is a piece of its own.
  const touches = new Map<number, Set<string>>();
  const reactive = new Set<number>();
  const touch = (group: number, piece: number): void => {
    const found = touches.get(piece) ?? new Set();
    touches.set(piece, found.add(`${w.voltsRe[group]} ${w.voltsIm[group]}`));
  };
  for (let group = 0; group < jointCount; group++) if (groupOf[group] === group && fixed[group]) touch(group, group);
  for (let slot = 0; slot < branchCount; slot++) {
    if (w.branchKind[slot] === absent || isDiodeSlot(slot)) continue;
    const a = groupAt(branchA, slot);
    const b = groupAt(branchB, slot);
    if (fixed[a] && !fixed[b]) touch(a, pieceOf(b));
    if (fixed[b] && !fixed[a]) touch(b, pieceOf(a));
    if (w.zIm[slot] !== 0 && a !== b) for (const group of [a, b]) if (!fixed[group]) reactive.add(pieceOf(group));
  }
  for (const { p1, p2, s1, s2 } of network.transformers)
    for (const joint of [p1, p2, s1, s2]) {
      const group = groupOf[joint]!;
      if (fixed[group]) continue;
      reactive.add(pieceOf(group));
      // A winding may feed the piece: never a dead end.
      touch(group, pieceOf(group));
      touches.get(pieceOf(group))!.add("winding");
    }

  // A diode into a piece that touches no leg and has no other diode leads nowhere.
  const ends = (slot: number): [number, number] => [pieceOf(groupAt(branchA, slot)), pieceOf(groupAt(branchB, slot))];
  for (let before = -1; before !== diodes.length; ) {
    before = diodes.length;
    diodes = diodes.filter((slot) => {
      const dead = ends(slot).some(
        (piece) => !touches.has(piece) && !diodes.some((other) => other !== slot && ends(other).includes(piece)),
      );
      if (dead) w.branchKind[slot] = absent;
      return !dead;
    });
  }

  // Pieces joined by diodes; a leg never joins.
  const joined = new DisjointSets(jointCount);
  for (const slot of diodes) {
    const [a, b] = ends(slot);
    if (!fixed[a] && !fixed[b]) joined.join(a, b);
  }
  const wholeOf = (piece: number): number => (fixed[piece] ? -1 : joined.find(piece));
  const halfWave: HalfWavePath[] = [];
  const unsolved: { branches: number[]; groups: number[] }[] = [];
  const done = new Set<number>();
  for (const slot of diodes) {
    const [a, b] = ends(slot);
    const whole = wholeOf(fixed[a] ? b : a);
    if (whole === -1) {
      const across = [...touches.get(a)!][0] !== [...touches.get(b)!][0];
      if (across) unsolved.push({ branches: [slot], groups: [] });
      w.branchKind[slot] = absent;
      continue;
    }
    if (done.has(whole)) continue;
    done.add(whole);
    const inside = diodes.filter((other) => ends(other).some((piece) => wholeOf(piece) === whole));
    const groups: number[] = [];
    for (let group = 0; group < jointCount; group++)
      if (groupOf[group] === group && !fixed[group] && wholeOf(pieceOf(group)) === whole) groups.push(group);
    const within = new Set(groups);
    const branches: number[] = [];
    for (let other = 0; other < branchCount; other++)
      if (
        w.branchKind[other] !== absent &&
        (within.has(groupAt(branchA, other)) || within.has(groupAt(branchB, other)))
      )
        branches.push(other);
    const legsA = touches.get(a) ?? new Set();
    const legsB = touches.get(b) ?? new Set();
    const resistive = !groups.some((group) => reactive.has(pieceOf(group)));
    const series = inside.length === 1 && a !== b && legsA.size === 1 && legsB.size === 1;
    if (series && resistive && [...legsA][0] === [...legsB][0]) w.branchKind[slot] = absent;
    else if (series && resistive) halfWave.push({ diode: slot - loadSlot, branches, groups });
    else unsolved.push({ branches, groups });
  }
  return keepInStep(network, w, halfWave, unsolved);
}

/**
 * Half-waves of supply volts that are in phase (or opposite) can be added up exactly where they meet in one contact. Those of
 * another phase (a wye with paths to different pairs of legs) are not told.
 */
function keepInStep(
  network: Network,
  w: Workspace,
  halfWave: readonly HalfWavePath[],
  unsolved: { branches: readonly number[]; groups: readonly number[] }[],
): DiodePaths {
  const acrossOf = ({ groups, branches }: HalfWavePath): [number, number] | undefined => {
    const within = new Set(groups);
    const legs = new Set<number>();
    for (const slot of branches)
      for (const joint of [network.branchA[slot]!, network.branchB[slot]!]) {
        const group = w.groupOf[joint]!;
        if (!within.has(group)) legs.add(group);
      }
    const [first, ...others] = [...legs];
    const second = others.find((leg) => w.voltsRe[leg] !== w.voltsRe[first!] || w.voltsIm[leg] !== w.voltsIm[first!]);
    if (first === undefined || second === undefined) return undefined;
    return [w.voltsRe[first]! - w.voltsRe[second]!, w.voltsIm[first]! - w.voltsIm[second]!];
  };
  const kept: HalfWavePath[] = [];
  let lead: [number, number] | undefined;
  for (const path of halfWave) {
    const across = acrossOf(path);
    if (!across) {
      unsolved.push(path);
      continue;
    }
    const [re, im] = across;
    lead ??= [re, im];
    const crossed = Math.abs(lead[0] * im - lead[1] * re);
    if (crossed <= 1e-9 * Math.hypot(...lead) * Math.hypot(re, im)) kept.push(path);
    else unsolved.push(path);
  }
  return { halfWave: kept, unsolved };
}
