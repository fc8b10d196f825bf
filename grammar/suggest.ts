/** Nearest names: what a person may have meant by a word that nothing is called. */

/**
 * Number of single-letter changes (insert, leave out, replace, swap two neighbours) that turn `a` into `b`; anything
 * above `limit` is returned as `limit + 1`.
 */
export function editDistance(a: string, b: string, limit = 4): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let before: number[] = [];
  let previous = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    let smallest = row;
    for (let column = 1; column <= b.length; column++) {
      const same = a[row - 1] === b[column - 1];
      let cost = Math.min(previous[column]! + 1, current[column - 1]! + 1, previous[column - 1]! + (same ? 0 : 1));
      if (row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1]) {
        cost = Math.min(cost, before[column - 2]! + 1);
      }
      current.push(cost);
      if (cost < smallest) smallest = cost;
    }
    if (smallest > limit) return limit + 1;
    before = previous;
    previous = current;
  }
  return Math.min(previous[b.length]!, limit + 1);
}

/**
 * At most `most` of `candidates`, nearest first. A difference of case only comes before all else; a word counts as near
 * when no more than a third of its letters (at least one) differ, or when it begins with what was written (three letters or more).
 */
export function nearestNames(written: string, candidates: Iterable<string>, most = 4): string[] {
  const lower = written.toLowerCase();
  const allowed = Math.max(1, Math.floor(written.length / 3));
  const found: { name: string; distance: number }[] = [];
  for (const name of new Set(candidates)) {
    if (name === written) continue;
    const other = name.toLowerCase();
    if (other === lower) found.push({ name, distance: -1 });
    else {
      const distance = editDistance(lower, other, allowed);
      // A name that shares nothing with what was written is not near it, however short both are.
      if (distance <= allowed && distance < Math.max(lower.length, other.length)) found.push({ name, distance });
      else if (lower.length >= 3 && other.startsWith(lower)) found.push({ name, distance: allowed + 1 });
    }
  }
  found.sort((a, b) => a.distance - b.distance || (a.name < b.name ? -1 : 1));
  return found.slice(0, most).map((entry) => entry.name);
}

/** `A`, `A or B`, `A, B or C`. */
export function orList(names: readonly string[]): string {
  if (names.length <= 1) return names[0] ?? "";
  return `${names.slice(0, -1).join(", ")} or ${names[names.length - 1]}`;
}

/** `A`, `A and B`, `A, B and C`; of more than `most` the first ones and how many more there are. */
export function andList(names: readonly string[], most = 12): string {
  if (names.length > most) return `${names.slice(0, most).join(", ")} and ${names.length - most} more`;
  if (names.length <= 1) return names[0] ?? "";
  return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}
