/** Rectangles in the plane of phasors, sides along the axes: where sums of phasors can lie, however they are put together. */

export interface Box {
  readonly reLo: number;
  readonly reHi: number;
  readonly imLo: number;
  readonly imHi: number;
}

/** A box around the phasors of the box, each times `re + i im`. */
export function turned(box: Box, re: number, im: number): Box {
  if (im === 0 && re === 1) return box;
  const { reLo, reHi, imLo, imHi } = box;
  const a = times(reLo, re);
  const b = times(reHi, re);
  const c = times(imLo, im);
  const d = times(imHi, im);
  const e = times(reLo, im);
  const f = times(reHi, im);
  const g = times(imLo, re);
  const h = times(imHi, re);
  return {
    reLo: Math.min(a, b) - Math.max(c, d),
    reHi: Math.max(a, b) - Math.min(c, d),
    imLo: Math.min(e, f) + Math.min(g, h),
    imHi: Math.max(e, f) + Math.max(g, h),
  };
}

/** Infinity times nothing is nothing here. */
export function times(a: number, b: number): number {
  return a === 0 || b === 0 ? 0 : a * b;
}
