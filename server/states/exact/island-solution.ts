/** One island with nothing left open: node voltages by complex linear equations. */
import { solveLinear } from "../../circuit/linear.ts";
import { FULL } from "./diagram.ts";
import type { Cells, Legs } from "./pieces.ts";
import { STRIDE } from "./reduce.ts";
import { isSpecialIsland, solveSpecialIsland } from "./special-island.ts";
import { type LoadTypes, NOT_SOLVED, type Values } from "./values.ts";

/** Volts so many times above the supply only come from parts without loss in resonance (as in `server/circuit/islands.ts`). */
const RESONANCE = 1e6;

let room = 0;
let aRe = new Float64Array(0);
let aIm = new Float64Array(0);
let bRe = new Float64Array(0);
let bIm = new Float64Array(0);

/** Cells of the owners: one value in every state. All edges are parts; joints below the number of legs are legs. */
export function solveIsland(
  edges: readonly number[],
  joints: number,
  owners: number,
  legs: Legs,
  types: LoadTypes,
  values: Values,
): Cells[] {
  if (isSpecialIsland(edges, types)) return solveSpecialIsland(edges, joints, owners, legs, types, values);
  const legCount = legs.re.length;
  const n = joints - legCount;
  if (n > room) {
    room = n * 2;
    aRe = new Float64Array(room * room);
    aIm = new Float64Array(room * room);
    bRe = new Float64Array(room);
    bIm = new Float64Array(room);
  }
  aRe.fill(0, 0, n * n);
  aIm.fill(0, 0, n * n);
  bRe.fill(0, 0, n);
  bIm.fill(0, 0, n);
  for (let e = 0; e < edges.length; e += STRIDE) {
    const { re, im } = types.types[edges[e + 3]!]!.impedance[edges[e + 4]!]!;
    const square = re * re + im * im;
    const yRe = re / square;
    const yIm = -im / square;
    for (let side = 1; side <= 2; side++) {
      const here = edges[e + side]! - legCount;
      const there = edges[e + 3 - side]! - legCount;
      if (here < 0) continue;
      aRe[here * n + here]! += yRe;
      aIm[here * n + here]! += yIm;
      if (there >= 0) {
        aRe[here * n + there]! -= yRe;
        aIm[here * n + there]! -= yIm;
      } else {
        const vRe = legs.re[there + legCount]!;
        const vIm = legs.im[there + legCount]!;
        bRe[here]! += yRe * vRe - yIm * vIm;
        bIm[here]! += yRe * vIm + yIm * vRe;
      }
    }
  }
  let solved = n === 0 || solveLinear(n, aRe, aIm, bRe, bIm);
  const most = RESONANCE * (Math.max(...legs.re.map((re, leg) => Math.abs(re) + Math.abs(legs.im[leg]!))) + 1);
  for (let i = 0; i < n && solved; i++) solved = Math.abs(bRe[i]!) + Math.abs(bIm[i]!) <= most;
  const cells: Cells[] = Array.from({ length: owners });
  for (let e = 0; e < edges.length; e += STRIDE) {
    const owner = edges[e + 5]!;
    if (owner < 0) continue;
    if (!solved) {
      cells[owner] = [NOT_SOLVED, FULL];
      continue;
    }
    const a = edges[e + 1]!;
    const b = edges[e + 2]!;
    const re = (a < legCount ? legs.re[a]! : bRe[a - legCount]!) - (b < legCount ? legs.re[b]! : bRe[b - legCount]!);
    const im = (a < legCount ? legs.im[a]! : bIm[a - legCount]!) - (b < legCount ? legs.im[b]! : bIm[b - legCount]!);
    const value = values.phasor(re, im);
    cells[owner] = value === -1 ? [] : [value, FULL];
  }
  return cells;
}
