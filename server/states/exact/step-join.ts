/** Sets of single columns put together over the steps in one go: no diagram is built that is not part of the result. */
import { type Diagrams, EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import { IntTable } from "./int-table.ts";

/**
 * All states of `sets[i]` at the steps `steps[i]`, for every i. The sets do not depend on the step control, the steps exclude each
 * other. One union after the other would walk over everything found so far each time.
 */
export function joinBySteps(diagrams: Diagrams, sets: readonly StateSet[], steps: readonly StateSet[]): StateSet {
  const width = sets.length;
  if (width === 0) return EMPTY;
  if (width === 1) return diagrams.and(sets[0]!, steps[0]!);
  if (width === 2) return diagrams.or(diagrams.and(sets[0]!, steps[0]!), diagrams.and(sets[1]!, steps[1]!));
  const known = new IntTable();
  const results: StateSet[] = [];
  const join = (row: readonly StateSet[]): StateSet => {
    let level = STEPS;
    for (let i = 0; i < width; i++) {
      const one = diagrams.levelOf(row[i]!);
      if (one < level) level = one;
    }
    if (level === STEPS) {
      let sum: StateSet = EMPTY;
      for (let i = 0; i < width; i++) if (row[i] === FULL) sum = diagrams.or(sum, steps[i]!);
      return sum;
    }
    const found = known.intern(row, 0, width);
    if (found >= 0) return results[found]!;
    const kids: StateSet[] = [];
    const arity = diagrams.arity[level]!;
    for (let position = 0; position < arity; position++) {
      const next: StateSet[] = new Array(width);
      for (let i = 0; i < width; i++) {
        const set = row[i]!;
        next[i] = diagrams.levelOf(set) === level ? diagrams.branch(set, position) : set;
      }
      kids.push(join(next));
    }
    return (results[-1 - found] = diagrams.branches(level, kids));
  };
  return join(sets);
}
