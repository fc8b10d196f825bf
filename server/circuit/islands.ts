/**
 * Groups of joints whose volts are unknown fall into islands: parts of the circuit that influence each other only through
 * legs, and so not at all. Each is a small set of equations of its own. Islands that no leg or transformer feeds are at 0 V.
 */
import { solveLinear } from "./linear.ts";
import type { Network } from "./network.ts";
import { absent, ordinary, stiff, type Workspace } from "./workspace.ts";

/** Joins groups along branches into islands and tells which are fed; grounds one end of floating windings. */
export function findIslands(network: Network, w: Workspace): void {
  const { branchA, branchB, branchCount, jointCount } = network;
  const { groupOf, fixed, islands } = w;
  islands.reset(jointCount);
  w.islandFed.fill(0);
  const tie = (a: number, b: number): void => {
    const groupA = groupOf[a]!;
    const groupB = groupOf[b]!;
    if (!fixed[groupA] && !fixed[groupB]) islands.join(groupA, groupB);
  };
  for (let slot = 0; slot < branchCount; slot++) if (w.branchKind[slot] !== absent) tie(branchA[slot]!, branchB[slot]!);
  for (const { p1, p2, s1, s2 } of network.transformers) {
    tie(p1, p2);
    tie(s1, s2);
  }
  const feed = (a: number, b: number): void => {
    const groupA = groupOf[a]!;
    const groupB = groupOf[b]!;
    if (fixed[groupA] !== fixed[groupB]) w.islandFed[islands.find(fixed[groupA] ? groupB : groupA)] = 1;
  };
  for (let slot = 0; slot < branchCount; slot++)
    if (w.branchKind[slot] !== absent) feed(branchA[slot]!, branchB[slot]!);
  if (network.transformers.length > 0) feedTransformers(network, w, feed, tie);
}

function feedTransformers(
  network: Network,
  w: Workspace,
  feed: (a: number, b: number) => void,
  tie: (a: number, b: number) => void,
): void {
  const { groupOf, fixed, islands, islandFed } = w;
  const isFed = (joint: number): boolean => {
    const group = groupOf[joint]!;
    return fixed[group] === 1 || islandFed[islands.find(group)] === 1;
  };
  const { transformers } = network;
  w.transformerOn.fill(0);
  for (const { p1, p2, s1, s2 } of transformers) {
    feed(p1, p2);
    feed(s1, s2);
  }
  for (let changed = true; changed; ) {
    changed = false;
    transformers.forEach(({ p1, p2, s1, s2 }, i) => {
      const primary = isFed(p1) || isFed(p2);
      const secondary = isFed(s1) || isFed(s2);
      if (w.transformerOn[i] || (!primary && !secondary)) return;
      w.transformerOn[i] = 1;
      changed = true;
      // A winding that nothing else ties to earth floats: its second end is taken as 0 V.
      const ground = !primary ? p2 : !secondary ? s2 : -1;
      if (ground < 0) return;
      const group = groupOf[ground]!;
      islandFed[islands.find(group)] = 1;
      fixed[group] = 1;
      w.voltsRe[group] = 0;
      w.voltsIm[group] = 0;
    });
  }
  // Grounding took groups out of their islands, and windings couple islands: join all anew.
  const wasFed = islandFed.slice();
  const before = islands.parent.map((_, group) => islands.find(group));
  islands.reset(network.jointCount);
  for (let slot = 0; slot < network.branchCount; slot++)
    if (w.branchKind[slot] !== absent) tie(network.branchA[slot]!, network.branchB[slot]!);
  transformers.forEach(({ p1, p2, s1, s2 }, i) => {
    const ends = [p1, p2, s1, s2];
    if (w.transformerOn[i]) for (const a of ends) for (const b of ends) tie(a, b);
  });
  islandFed.fill(0);
  for (let group = 0; group < network.jointCount; group++)
    if (!fixed[group] && wasFed[before[group]!]) islandFed[islands.find(group)] = 1;
}

/**
 * Solves every fed island and fills in the volts of groups and the currents of branches and transformers.
 *
 * @param only groups whose islands alone are wanted; all others are left at 0 V
 * @returns branches whose current cannot be told: lossless resonance, or volts across 0 ohm
 */
export function solveIslands(network: Network, w: Workspace, supplyVolts: number, only?: readonly number[]): number[] {
  const { branchA, branchB, branchCount, jointCount } = network;
  const { groupOf, fixed, islands, islandFed, firstGroup, nextGroup, firstBranch, nextBranch } = w;
  const notTold: number[] = [];
  firstGroup.fill(-1);
  firstBranch.fill(-1);
  for (let joint = jointCount - 1; joint >= 0; joint--) {
    if (groupOf[joint] !== joint || fixed[joint]) continue;
    w.voltsRe[joint] = 0;
    w.voltsIm[joint] = 0;
    const island = islands.find(joint);
    nextGroup[joint] = firstGroup[island]!;
    firstGroup[island] = joint;
  }
  for (let slot = branchCount - 1; slot >= 0; slot--) {
    w.ampsRe[slot] = 0;
    w.ampsIm[slot] = 0;
    if (w.branchKind[slot] === absent) continue;
    const groupA = groupOf[branchA[slot]!]!;
    const groupB = groupOf[branchB[slot]!]!;
    if (groupA === groupB || (fixed[groupA] && fixed[groupB])) continue;
    const island = islands.find(fixed[groupA] ? groupB : groupA);
    nextBranch[slot] = firstBranch[island]!;
    firstBranch[island] = slot;
  }
  w.transformerRe.fill(0);
  w.transformerIm.fill(0);
  const wanted = only?.map((group) => islands.find(group));
  for (let island = 0; island < jointCount; island++)
    if (firstGroup[island] !== -1 && islandFed[island] && (!wanted || wanted.includes(island)))
      solveIsland(network, w, island, supplyVolts, notTold);
  if (network.transformers.length > 0) solveFixedTransformers(network, w);

  for (let slot = 0; slot < branchCount; slot++) {
    const kind = w.branchKind[slot];
    if (kind === absent) continue;
    const groupA = groupOf[branchA[slot]!]!;
    const groupB = groupOf[branchB[slot]!]!;
    if (groupA === groupB) continue;
    const re = w.voltsRe[groupA]! - w.voltsRe[groupB]!;
    const im = w.voltsIm[groupA]! - w.voltsIm[groupB]!;
    if (kind === ordinary) {
      w.ampsRe[slot] = w.yRe[slot]! * re - w.yIm[slot]! * im;
      w.ampsIm[slot] = w.yRe[slot]! * im + w.yIm[slot]! * re;
    } else if (fixed[groupA] && fixed[groupB] && (re !== 0 || im !== 0)) {
      const square = w.zRe[slot]! ** 2 + w.zIm[slot]! ** 2;
      if (square === 0) notTold.push(slot);
      w.ampsRe[slot] = square === 0 ? Number.NaN : (re * w.zRe[slot]! + im * w.zIm[slot]!) / square;
      w.ampsIm[slot] = square === 0 ? Number.NaN : (im * w.zRe[slot]! - re * w.zIm[slot]!) / square;
    }
  }
  return notTold;
}

/** Volts so far above the supply only come from parts without loss in resonance. */
const resonanceTimes = 1e6;

function solveIsland(network: Network, w: Workspace, island: number, supplyVolts: number, notTold: number[]): void {
  const { branchA, branchB, transformers } = network;
  const { groupOf, fixed, unknownOf, firstGroup, nextGroup, firstBranch, nextBranch } = w;
  let groups = 0;
  for (let group = firstGroup[island]!; group !== -1; group = nextGroup[group]!) unknownOf[group] = groups++;
  let n = groups;
  for (let slot = firstBranch[island]!; slot !== -1; slot = nextBranch[slot]!) if (w.branchKind[slot] === stiff) n++;
  const coupled: number[] = [];
  for (let i = 0; i < transformers.length; i++)
    if (w.transformerOn[i] && islandOfTransformer(network, w, i) === island) coupled.push(i);
  n += coupled.length;

  w.equations(n);
  const { aRe, aIm, bRe, bIm } = w;
  let row = groups;
  for (let slot = firstBranch[island]!; slot !== -1; slot = nextBranch[slot]!) {
    const groupA = groupOf[branchA[slot]!]!;
    const groupB = groupOf[branchB[slot]!]!;
    if (w.branchKind[slot] === stiff) {
      // V(a) - V(b) - z I = 0, and I leaves a and enters b.
      stampVolts(w, n, row, groupA, 1);
      stampVolts(w, n, row, groupB, -1);
      aRe[row * n + row] = -w.zRe[slot]!;
      aIm[row * n + row] = -w.zIm[slot]!;
      if (!fixed[groupA]) aRe[unknownOf[groupA]! * n + row]! += 1;
      if (!fixed[groupB]) aRe[unknownOf[groupB]! * n + row]! -= 1;
      row++;
      continue;
    }
    const yRe = w.yRe[slot]!;
    const yIm = w.yIm[slot]!;
    if (!fixed[groupA]) stampBranch(w, n, unknownOf[groupA]!, groupB, yRe, yIm);
    if (!fixed[groupB]) stampBranch(w, n, unknownOf[groupB]!, groupA, yRe, yIm);
  }
  for (const i of coupled) {
    // (V(p1) - V(p2)) / ratio - (V(s1) - V(s2)) - z I = 0; I leaves s1, and I / ratio enters p1.
    const { p1, p2, s1, s2, ratio, seriesRe, seriesIm } = transformers[i]!;
    const ends: [number, number][] = [
      [groupOf[p1]!, 1 / ratio],
      [groupOf[p2]!, -1 / ratio],
      [groupOf[s1]!, -1],
      [groupOf[s2]!, 1],
    ];
    for (const [group, turns] of ends) {
      stampVolts(w, n, row, group, turns);
      if (!fixed[group]) aRe[unknownOf[group]! * n + row]! += turns;
    }
    aRe[row * n + row]! -= seriesRe;
    aIm[row * n + row]! -= seriesIm;
    row++;
  }

  let solved = solveLinear(n, aRe, aIm, bRe, bIm);
  for (let i = 0; i < groups && solved; i++)
    solved = Math.abs(bRe[i]!) + Math.abs(bIm[i]!) <= resonanceTimes * (supplyVolts + 1);
  if (!solved) {
    bRe.fill(Number.NaN, 0, n);
    bIm.fill(Number.NaN, 0, n);
    for (let slot = firstBranch[island]!; slot !== -1; slot = nextBranch[slot]!) notTold.push(slot);
  }
  for (let group = firstGroup[island]!; group !== -1; group = nextGroup[group]!) {
    w.voltsRe[group] = bRe[unknownOf[group]!]!;
    w.voltsIm[group] = bIm[unknownOf[group]!]!;
  }
  row = groups;
  for (let slot = firstBranch[island]!; slot !== -1; slot = nextBranch[slot]!) {
    if (w.branchKind[slot] !== stiff) continue;
    w.ampsRe[slot] = bRe[row]!;
    w.ampsIm[slot] = bIm[row++]!;
  }
  for (const i of coupled) {
    w.transformerRe[i] = bRe[row]!;
    w.transformerIm[i] = bIm[row++]!;
  }
}

/** Adds `factor` x V(group) to an equation. */
function stampVolts(w: Workspace, n: number, row: number, group: number, factor: number): void {
  if (!w.fixed[group]) {
    w.aRe[row * n + w.unknownOf[group]!]! += factor;
    return;
  }
  w.bRe[row]! -= factor * w.voltsRe[group]!;
  w.bIm[row]! -= factor * w.voltsIm[group]!;
}

/** Adds the current of an admittance from the group of `row` to `other` to that group's sum. */
function stampBranch(w: Workspace, n: number, row: number, other: number, yRe: number, yIm: number): void {
  const at = row * n;
  w.aRe[at + row]! += yRe;
  w.aIm[at + row]! += yIm;
  if (!w.fixed[other]) {
    w.aRe[at + w.unknownOf[other]!]! -= yRe;
    w.aIm[at + w.unknownOf[other]!]! -= yIm;
    return;
  }
  const re = w.voltsRe[other]!;
  const im = w.voltsIm[other]!;
  w.bRe[row]! += yRe * re - yIm * im;
  w.bIm[row]! += yRe * im + yIm * re;
}

/** The island that a transformer's current is an unknown of; -1 when all its ends have given volts. */
function islandOfTransformer(network: Network, w: Workspace, i: number): number {
  const { p1, p2, s1, s2 } = network.transformers[i]!;
  for (const joint of [p1, p2, s1, s2]) if (!w.fixed[w.groupOf[joint]!]) return w.islands.find(w.groupOf[joint]!);
  return -1;
}

function solveFixedTransformers(network: Network, w: Workspace): void {
  network.transformers.forEach(({ p1, p2, s1, s2, ratio, seriesRe, seriesIm }, i) => {
    if (!w.transformerOn[i] || islandOfTransformer(network, w, i) !== -1) return;
    const across = (volts: Float64Array): number =>
      (volts[w.groupOf[p1]!]! - volts[w.groupOf[p2]!]!) / ratio - (volts[w.groupOf[s1]!]! - volts[w.groupOf[s2]!]!);
    const re = across(w.voltsRe);
    const im = across(w.voltsIm);
    const square = seriesRe ** 2 + seriesIm ** 2;
    if (re === 0 && im === 0) return;
    w.transformerRe[i] = square === 0 ? Number.NaN : (re * seriesRe + im * seriesIm) / square;
    w.transformerIm[i] = square === 0 ? Number.NaN : (im * seriesRe - re * seriesIm) / square;
  });
}
