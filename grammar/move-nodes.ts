/** Copies of trees whose text stands elsewhere. */

/** Fields that hold places of the text; `same-meaning.ts` leaves the same ones out. */
export const placeFields: ReadonlySet<string> = new Set(["from", "to", "wordFrom", "wordTo"]);

/** A copy with every place moved by `by` characters; plain records, lists and values only. */
export function moveNodes<T>(value: T, by: number): T {
  return by === 0 ? value : (moved(value, by) as T);
}

function moved(value: unknown, by: number): unknown {
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map((each) => moved(each, by));
  const copy: Record<string, unknown> = {};
  const record = value as Record<string, unknown>;
  for (const field in record) {
    const held = record[field];
    copy[field] = typeof held === "object" ? moved(held, by) : placeFields.has(field) ? (held as number) + by : held;
  }
  return copy;
}
