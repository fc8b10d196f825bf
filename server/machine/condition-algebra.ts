/** Conditions as OR of ANDs of position masks: and, or, not. Small by nature (a handful of literals), so plain products do. */
import type { Condition, ControlId, Literal } from "./machine.ts";

export const always: Condition = [[]];
export const never: Condition = [];

/** Mask with the given positions set. */
export function maskOf(count: number, positions: Iterable<number>): Uint8Array {
  const mask = new Uint8Array(count);
  for (const position of positions) if (position >= 0 && position < count) mask[position] = 1;
  return mask;
}

export function maskAll(count: number): Uint8Array {
  return new Uint8Array(count).fill(1);
}

export function maskHas(mask: Uint8Array, position: number): boolean {
  return mask[position] === 1;
}

export function maskNot(mask: Uint8Array): Uint8Array {
  return mask.map((bit) => 1 - bit);
}

export function maskCount(mask: Uint8Array): number {
  let count = 0;
  for (const bit of mask) count += bit;
  return count;
}

/** A condition of one literal; `always` or `never` for a full or an empty mask. */
export function literalCondition(control: ControlId, positions: Uint8Array): Condition {
  const count = maskCount(positions);
  if (count === 0) return never;
  return count === positions.length ? always : [[{ control, positions }]];
}

/** Both lists must hold: masks of the same control are cut; undefined when that leaves nothing. */
function joinLiterals(a: readonly Literal[], b: readonly Literal[]): Literal[] | undefined {
  const joined = [...a];
  for (const literal of b) {
    const index = joined.findIndex((other) => other.control === literal.control);
    if (index < 0) joined.push(literal);
    else {
      const cut = joined[index]!.positions.map((bit, i) => bit & literal.positions[i]!);
      if (maskCount(cut) === 0) return undefined;
      joined[index] = { control: literal.control, positions: cut };
    }
  }
  return joined;
}

/** True when every literal of `weaker` follows from `stronger`. */
function implied(weaker: readonly Literal[], stronger: readonly Literal[]): boolean {
  return weaker.every((literal) => {
    const other = stronger.find((each) => each.control === literal.control);
    return other?.positions.every((bit, i) => bit <= literal.positions[i]!) ?? false;
  });
}

/** Leaves out clauses that say no more than another one does. Long lists are left alone: the product would cost more than it saves. */
function absorb(condition: Condition): Condition {
  if (condition.length < 2 || condition.length > 64) return condition;
  return condition.filter(
    (clause, index) =>
      !condition.some((other, at) => at !== index && implied(other, clause) && (at < index || !implied(clause, other))),
  );
}

export function andConditions(...conditions: readonly Condition[]): Condition {
  let result: Condition = always;
  for (const condition of conditions) {
    const next: Literal[][] = [];
    for (const a of result) {
      for (const b of condition) {
        const joined = joinLiterals(a, b);
        if (joined) next.push(joined);
      }
    }
    result = absorb(next);
  }
  return result;
}

export function orConditions(...conditions: readonly Condition[]): Condition {
  const clauses = conditions.flat();
  return clauses.some((clause) => clause.length === 0) ? always : absorb(clauses);
}

export function notCondition(condition: Condition): Condition {
  let result: Condition = always;
  for (const clause of condition) {
    result = andConditions(
      result,
      clause.map((literal) => [{ control: literal.control, positions: maskNot(literal.positions) }]),
    );
  }
  return result;
}
