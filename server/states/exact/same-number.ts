/** True when two numbers are the same to the last bit, as `Object.is` has it, in the few steps that a loop over thousands can afford. */
export function isSameNumber(a: number, b: number): boolean {
  return a === b ? a !== 0 || 1 / a === 1 / b : Number.isNaN(a) && Number.isNaN(b);
}
