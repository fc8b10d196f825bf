/** One island with nothing left open: node voltages by complex linear equations. */
import { solveLinear } from "../../circuit/linear.ts";
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

/** Phasors of the legs. */
export interface Legs {
  readonly re: readonly number[];
  readonly im: readonly number[];
}

/**
 * Value of each owner, -1 where it has no volts. All edges are elements; joints below the number of legs are legs.
 *
 * @param typeOf load type of each element
 */
export function solveIsland(
  edges: ArrayLike<number>,
  joints: number,
  owners: number,
  legs: Legs,
  types: LoadTypes,
  typeOf: ArrayLike<number>,
  values: Values,
): readonly number[] {
  if (isSpecialIsland(edges, types, typeOf))
    return solveSpecialIsland(edges, joints, owners, legs, types, typeOf, values);
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
    const { re, im } = types.types[typeOf[edges[e + 3]!]!]!.impedance[edges[e + 4]!]!;
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
  const found: number[] = new Array(owners).fill(-1);
  for (let e = 0; e < edges.length; e += STRIDE) {
    const owner = edges[e + 5]!;
    if (owner < 0) continue;
    if (!solved) {
      found[owner] = NOT_SOLVED;
      continue;
    }
    const a = edges[e + 1]!;
    const b = edges[e + 2]!;
    const re = (a < legCount ? legs.re[a]! : bRe[a - legCount]!) - (b < legCount ? legs.re[b]! : bRe[b - legCount]!);
    const im = (a < legCount ? legs.im[a]! : bIm[a - legCount]!) - (b < legCount ? legs.im[b]! : bIm[b - legCount]!);
    found[owner] = values.phasor(re, im);
  }
  return found;
}
