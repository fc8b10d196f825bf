/**
 * Diagnosis from a model, for anything made of components: which smallest sets of broken components explain what was
 * observed, and which sets of components cannot all be sound. Knows nothing of circuits.
 */

/** Ascending ids. */
export type ComponentSet = readonly number[];

/**
 * The smallest sets of components that, taken as broken, leave nothing unexplained: no subset of one explains too.
 *
 * @param explains whether the observations are consistent with these (and only these) components being broken
 * @param mostBroken largest set that is tried
 */
export function minimalDiagnoses(
  components: ComponentSet,
  explains: (broken: ComponentSet) => boolean,
  mostBroken = components.length,
): ComponentSet[] {
  const found: ComponentSet[] = [];
  if (explains([])) return [[]];
  for (let size = 1; size <= mostBroken; size++)
    for (const broken of subsets(components, size))
      if (!found.some((smaller) => smaller.every((each) => broken.includes(each))) && explains(broken))
        found.push(broken);
  return found;
}

function* subsets(from: ComponentSet, size: number, start = 0): Generator<ComponentSet> {
  if (size === 0) yield [];
  else
    for (let i = start; i <= from.length - size; i++)
      for (const rest of subsets(from, size - 1, i + 1)) yield [from[i]!, ...rest];
}

/**
 * Smallest sets that share a member with each of the given sets. From conflicts (components that cannot all be sound) they
 * are the diagnoses, and from diagnoses the conflicts.
 */
export function minimalHittingSets(
  sets: readonly ComponentSet[],
  mostMembers = Number.POSITIVE_INFINITY,
): ComponentSet[] {
  let partial: ComponentSet[] = [[]];
  for (const set of sets) {
    const next: ComponentSet[] = [];
    for (const one of partial) {
      if (set.some((member) => one.includes(member))) next.push(one);
      else if (one.length < mostMembers) for (const member of set) next.push([...one, member].sort((a, b) => a - b));
    }
    partial = smallestOf(next);
  }
  return partial;
}

/** Sets without those that contain another one. */
function smallestOf(sets: readonly ComponentSet[]): ComponentSet[] {
  const kept: ComponentSet[] = [];
  for (const set of [...sets].sort((a, b) => a.length - b.length))
    if (!kept.some((smaller) => smaller.every((member) => set.includes(member)))) kept.push(set);
  return kept;
}
