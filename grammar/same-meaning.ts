/** Whether two texts say the same: the same statements, comments and mistakes, wherever they stand. */
import { placeFields as places } from "./move-nodes.ts";
import type { Statement, Tree } from "./tree.ts";

export function sameMeaning(a: Tree, b: Tree): boolean {
  return (
    a.comments.length === b.comments.length &&
    a.errors.length === b.errors.length &&
    a.comments.every(({ text }, i) => text.trimEnd() === b.comments[i]!.text.trimEnd()) &&
    a.errors.every(({ id }, i) => id === b.errors[i]!.id) &&
    same(a.statements, b.statements)
  );
}

/** The same but for places. */
export function sameStatement(a: Statement, b: Statement): boolean {
  return same(a, b);
}

/** The same but for places and for how much its quantities are. */
export function sameButAmounts(a: Statement, b: Statement): boolean {
  return same(a, b, true);
}

/** Within a quantity's own text (`15( 8 ) A`) white space does not count. */
function bare(text: string): string {
  return /\s/.test(text) ? text.replace(/\s/g, "") : text;
}

/** The same but for places; a field without a value counts as none. */
function same(a: unknown, b: unknown, anyAmount = false): boolean {
  if (typeof a !== "object" || a === null || typeof b !== "object" || b === null) return Object.is(a, b);
  if (Array.isArray(a))
    return Array.isArray(b) && a.length === b.length && a.every((each, i) => same(each, b[i], anyAmount));
  if (Array.isArray(b)) return false;
  const one = a as Record<string, unknown>;
  const other = b as Record<string, unknown>;
  // Quantities alone have a dimension.
  if (anyAmount && one.dimension !== undefined) return one.dimension === other.dimension;
  for (const key in one) {
    if (places.has(key)) continue;
    const [x, y] = [one[key], other[key]];
    if (key === "text" && typeof x === "string" && typeof y === "string") {
      if (x !== y && bare(x) !== bare(y)) return false;
    } else if (!same(x, y, anyAmount)) return false;
  }
  for (const key in other) if (other[key] !== undefined && !places.has(key) && one[key] === undefined) return false;
  return true;
}
