/** One island with nothing left open: node voltages by complex linear equations. */
import { solveLinear } from "../../circuit/linear.ts";
import { STRIDE } from "./reduce.ts";
import { isSpecialIsland, solveSpecialIsland } from "./special-island.ts";
import type { LoadTypes } from "./values.ts";

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

/** Fewer volts than this are none. */
const NO_VOLTS = 1e-10;

/**
 * Writes the volts of each edge to `re` and `im`, from `first` on, and those of each joint that is no leg after them: 0 V exactly where
 * there are none, NaN where they are not told. All edges are elements; joints below the number of legs are legs.
 *
 * @param typeOf load type of each element
 */
export function solveIsland(
  edges: ArrayLike<number>,
  joints: number,
  legs: Legs,
  types: LoadTypes,
  typeOf: ArrayLike<number>,
  re: Float64Array,
  im: Float64Array,
  first: number,
): void {
  const last = first + edges.length / STRIDE + joints - legs.re.length;
  if (isSpecialIsland(edges, types, typeOf)) {
    re.fill(Number.NaN, first, last);
    solveSpecialIsland(edges, joints, legs, types, typeOf, re, im, first);
  } else if (!solvePlain(edges, joints, legs, types, typeOf, re, im, first)) re.fill(Number.NaN, first, last);
  for (let at = first; at < last; at++) {
    // What is not told stays so.
    if (Number.isNaN(re[at]! + im[at]!)) re[at] = im[at] = Number.NaN;
    else if (Math.abs(re[at]!) < NO_VOLTS && Math.abs(im[at]!) < NO_VOLTS) re[at] = im[at] = 0;
  }
}

/** False where nothing is told. */
function solvePlain(
  edges: ArrayLike<number>,
  joints: number,
  legs: Legs,
  types: LoadTypes,
  typeOf: ArrayLike<number>,
  re: Float64Array,
  im: Float64Array,
  first: number,
): boolean {
  const legCount = legs.re.length;
  const n = joints - legCount;
  if (n > room) {
    room = n * 2;
    aRe = new Float64Array(room * room);
    aIm = new Float64Array(room * room);
    bRe = new Float64Array(room);
    bIm = new Float64Array(room);
  }
  // Islands are small: loops are quicker than calls.
  for (let i = 0; i < n * n; i++) aRe[i] = aIm[i] = 0;
  for (let i = 0; i < n; i++) bRe[i] = bIm[i] = 0;
  const known = types.types;
  const { re: legsRe, im: legsIm } = legs;
  for (let e = 0; e < edges.length; e += STRIDE) {
    const { admittance } = known[typeOf[edges[e + 3]!]!]!;
    const position = edges[e + 4]!;
    const yRe = admittance[2 * position]!;
    const yIm = admittance[2 * position + 1]!;
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
        const vRe = legsRe[there + legCount]!;
        const vIm = legsIm[there + legCount]!;
        bRe[here]! += yRe * vRe - yIm * vIm;
        bIm[here]! += yRe * vIm + yIm * vRe;
      }
    }
  }
  let solved = n === 0 || solveLinear(n, aRe, aIm, bRe, bIm);
  let most = 0;
  for (let leg = 0; leg < legCount; leg++) most = Math.max(most, Math.abs(legs.re[leg]!) + Math.abs(legs.im[leg]!));
  most = RESONANCE * (most + 1);
  for (let i = 0; i < n && solved; i++) solved = Math.abs(bRe[i]!) + Math.abs(bIm[i]!) <= most;
  if (!solved) return false;
  let at = first;
  for (let e = 0; e < edges.length; e += STRIDE, at++) {
    const a = edges[e + 1]!;
    const b = edges[e + 2]!;
    re[at] = (a < legCount ? legs.re[a]! : bRe[a - legCount]!) - (b < legCount ? legs.re[b]! : bRe[b - legCount]!);
    im[at] = (a < legCount ? legs.im[a]! : bIm[a - legCount]!) - (b < legCount ? legs.im[b]! : bIm[b - legCount]!);
  }
  for (let i = 0; i < n; i++, at++) {
    re[at] = bRe[i]!;
    im[at] = bIm[i]!;
  }
  return true;
}
