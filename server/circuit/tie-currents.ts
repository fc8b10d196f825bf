/**
 * Currents through closed ties, by Kirchhoff's current law on the joints they make one. Where ties form a tree the law alone
 * settles them; where they are in parallel, equal small resistances split the current (the split of least losses).
 */
import { solveLinear } from "./linear.ts";
import type { Network } from "./network.ts";
import type { Workspace } from "./workspace.ts";

/**
 * Fills `tieRe` and `tieIm` (from a to b) from the current `outRe`, `outIm` that leaves each joint into branches. Afterwards
 * these hold what each leg's joint draws from its leg. Ties cut by a short carry NaN, and so does all between them and the legs.
 */
export function tieCurrents(network: Network, w: Workspace): void {
  const { tieCount, tieA, tieB, tieStart, tiesOf, jointCount } = network;
  const { tieLeft, degree, queue, outRe, outIm, isLeg } = w;
  w.tieRe.fill(0);
  w.tieIm.fill(0);
  degree.fill(0);
  for (let tie = 0; tie < tieCount; tie++) {
    const a = tieA[tie]!;
    const b = tieB[tie]!;
    tieLeft[tie] = w.tieClosed[tie] === 1 && a !== b ? 1 : 0;
    if (tieLeft[tie]) {
      degree[a]!++;
      degree[b]!++;
    } else if (w.tieClosed[tie] === 2) {
      w.tieRe[tie] = w.tieIm[tie] = Number.NaN;
      outRe[a] = outIm[a] = outRe[b] = outIm[b] = Number.NaN;
    }
  }
  let tail = 0;
  for (let joint = 0; joint < jointCount; joint++) if (degree[joint] === 1 && !isLeg[joint]) queue[tail++] = joint;
  for (let head = 0; head < tail; head++) {
    const leaf = queue[head]!;
    // The last two joints of a group without a leg are leaves of each other.
    if (degree[leaf] !== 1) continue;
    let at = tieStart[leaf]!;
    while (!tieLeft[tiesOf[at]!]) at++;
    const tie = tiesOf[at]!;
    const inwards = tieB[tie] === leaf;
    const other = inwards ? tieA[tie]! : tieB[tie]!;
    w.tieRe[tie] = inwards ? outRe[leaf]! : -outRe[leaf]!;
    w.tieIm[tie] = inwards ? outIm[leaf]! : -outIm[leaf]!;
    outRe[other]! += outRe[leaf]!;
    outIm[other]! += outIm[leaf]!;
    tieLeft[tie] = 0;
    degree[leaf] = 0;
    if (--degree[other]! === 1 && !isLeg[other]) queue[tail++] = other;
  }
  splitCores(network, w);
}

/** What is left are loops of ties, and chains between legs of the same volts: one set of equations for each. */
function splitCores(network: Network, w: Workspace): void {
  const { tieCount, tieA, tieB, tieStart, tiesOf, jointCount } = network;
  const { tieLeft, outRe, outIm, isLeg } = w;
  let seen: Uint8Array | undefined;
  for (let first = 0; first < tieCount; first++) {
    if (!tieLeft[first]) continue;
    seen ??= new Uint8Array(jointCount);
    const joints = [tieA[first]!];
    const ties: number[] = [];
    seen[joints[0]!] = 1;
    for (let head = 0; head < joints.length; head++) {
      const joint = joints[head]!;
      for (let at = tieStart[joint]!; at < tieStart[joint + 1]!; at++) {
        const tie = tiesOf[at]!;
        if (!tieLeft[tie]) continue;
        if (tieA[tie] === joint) ties.push(tie);
        const other = tieA[tie] === joint ? tieB[tie]! : tieA[tie]!;
        if (seen[other]) continue;
        seen[other] = 1;
        joints.push(other);
      }
    }
    // Legs hold the potential 0; a group without one is held at its first joint.
    const free = joints.filter((joint, i) => !isLeg[joint] && (i > 0 || joints.some((other) => isLeg[other])));
    const n = free.length;
    w.equations(n);
    const row = new Map(free.map((joint, i) => [joint, i]));
    for (const tie of ties) {
      const a = row.get(tieA[tie]!);
      const b = row.get(tieB[tie]!);
      if (a !== undefined) w.aRe[a * n + a]! += 1;
      if (b !== undefined) w.aRe[b * n + b]! += 1;
      if (a === undefined || b === undefined) continue;
      w.aRe[a * n + b]! -= 1;
      w.aRe[b * n + a]! -= 1;
    }
    free.forEach((joint, i) => {
      w.bRe[i] = -outRe[joint]!;
      w.bIm[i] = -outIm[joint]!;
    });
    solveLinear(n, w.aRe, w.aIm, w.bRe, w.bIm);
    for (const tie of ties) {
      const a = row.get(tieA[tie]!);
      const b = row.get(tieB[tie]!);
      const re = (a === undefined ? 0 : w.bRe[a]!) - (b === undefined ? 0 : w.bRe[b]!);
      const im = (a === undefined ? 0 : w.bIm[a]!) - (b === undefined ? 0 : w.bIm[b]!);
      w.tieRe[tie] = re;
      w.tieIm[tie] = im;
      tieLeft[tie] = 0;
      if (isLeg[tieA[tie]!]) {
        outRe[tieA[tie]!]! += re;
        outIm[tieA[tie]!]! += im;
      }
      if (isLeg[tieB[tie]!]) {
        outRe[tieB[tie]!]! -= re;
        outIm[tieB[tie]!]! -= im;
      }
    }
  }
}
