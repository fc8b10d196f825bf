/** Copies of trees whose text stands elsewhere. */

/** Fields that hold places of the text; `same-meaning.ts` leaves the same ones out. */
export const placeFields: ReadonlySet<string> = new Set(["from", "to", "wordFrom", "wordTo"]);

/**
 * A copy with every place moved by `by` characters: of records, lists and values. Binary arrays are shared with the copy.
 *
 * @param instead what stands for a record that needs no copy
 */
export function moveNodes<T>(value: T, by: number, instead?: (value: object) => unknown): T {
  return by === 0 && !instead ? value : (moved(value, by, instead) as T);
}

function moved(value: unknown, by: number, instead: ((value: object) => unknown) | undefined): unknown {
  if (typeof value !== "object" || value === null || ArrayBuffer.isView(value)) return value;
  if (Array.isArray(value)) {
    const list: unknown[] = [];
    for (const each of value) list.push(moved(each, by, instead));
    return list;
  }
  const other = instead?.(value);
  if (other !== undefined) return other;
  const copy: Record<string, unknown> = {};
  const record = value as Record<string, unknown>;
  for (const field in record) {
    const held = record[field];
    const place = typeof held === "number" && placeFields.has(field);
    copy[field] = place ? held + by : typeof held === "object" ? moved(held, by, instead) : held;
  }
  return copy;
}
