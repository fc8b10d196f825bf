/** Dense complex linear equations in typed arrays: the inner loop of every solution. */

/**
 * Solves A x = b by LU elimination with partial pivoting. A is n x n in row order, real and imaginary parts apart; both A
 * and b are overwritten, b with x. Pivots are compared by |re| + |im|, within a factor of 1.41 of the true magnitude.
 *
 * @returns false when A is singular (b is then meaningless)
 */
export function solveLinear(
  n: number,
  aRe: Float64Array,
  aIm: Float64Array,
  bRe: Float64Array,
  bIm: Float64Array,
): boolean {
  for (let k = 0; k < n; k++) {
    const rowK = k * n;
    let pivotRow = k;
    let largest = Math.abs(aRe[rowK + k]!) + Math.abs(aIm[rowK + k]!);
    for (let i = k + 1; i < n; i++) {
      const size = Math.abs(aRe[i * n + k]!) + Math.abs(aIm[i * n + k]!);
      if (size > largest) {
        largest = size;
        pivotRow = i;
      }
    }
    if (!(largest > 0) || largest === Infinity) return false;
    if (pivotRow !== k) {
      const rowP = pivotRow * n;
      for (let j = k; j < n; j++) {
        const re = aRe[rowK + j]!;
        aRe[rowK + j] = aRe[rowP + j]!;
        aRe[rowP + j] = re;
        const im = aIm[rowK + j]!;
        aIm[rowK + j] = aIm[rowP + j]!;
        aIm[rowP + j] = im;
      }
      const re = bRe[k]!;
      bRe[k] = bRe[pivotRow]!;
      bRe[pivotRow] = re;
      const im = bIm[k]!;
      bIm[k] = bIm[pivotRow]!;
      bIm[pivotRow] = im;
    }
    const pivotRe = aRe[rowK + k]!;
    const pivotIm = aIm[rowK + k]!;
    const square = pivotRe * pivotRe + pivotIm * pivotIm;
    const inverseRe = pivotRe / square;
    const inverseIm = -pivotIm / square;
    // The inverse pivot is kept in place: back substitution needs it again.
    aRe[rowK + k] = inverseRe;
    aIm[rowK + k] = inverseIm;
    const knownRe = bRe[k]!;
    const knownIm = bIm[k]!;
    for (let i = k + 1; i < n; i++) {
      const rowI = i * n;
      const headRe = aRe[rowI + k]!;
      const headIm = aIm[rowI + k]!;
      if (headRe === 0 && headIm === 0) continue;
      const factorRe = headRe * inverseRe - headIm * inverseIm;
      const factorIm = headRe * inverseIm + headIm * inverseRe;
      for (let j = k + 1; j < n; j++) {
        const re = aRe[rowK + j]!;
        const im = aIm[rowK + j]!;
        aRe[rowI + j]! -= factorRe * re - factorIm * im;
        aIm[rowI + j]! -= factorRe * im + factorIm * re;
      }
      bRe[i]! -= factorRe * knownRe - factorIm * knownIm;
      bIm[i]! -= factorRe * knownIm + factorIm * knownRe;
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    const rowK = k * n;
    let re = bRe[k]!;
    let im = bIm[k]!;
    for (let j = k + 1; j < n; j++) {
      const factorRe = aRe[rowK + j]!;
      const factorIm = aIm[rowK + j]!;
      re -= factorRe * bRe[j]! - factorIm * bIm[j]!;
      im -= factorRe * bIm[j]! + factorIm * bRe[j]!;
    }
    const inverseRe = aRe[rowK + k]!;
    const inverseIm = aIm[rowK + k]!;
    bRe[k] = re * inverseRe - im * inverseIm;
    bIm[k] = re * inverseIm + im * inverseRe;
  }
  return true;
}
