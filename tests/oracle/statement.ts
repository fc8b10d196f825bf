/**
 * Plain statement of a set of states, by expanding one state at a time as far as the other states allow and then dropping
 * what is not needed: MEANING.md, "Paths, statements".
 */
import type { Condition, Literal, Machine, MachineState } from "../../server/machine/machine.ts";

/** For each control the positions that it may stand in. */
type Term = readonly Uint8Array[];

/** True in every state of `inside`, false in every state of `outside`. */
export function stateThat(
  machine: Machine,
  inside: readonly MachineState[],
  outside: readonly MachineState[],
): Condition {
  const terms: Term[] = [];
  const covered = new Uint8Array(inside.length);
  for (let index = 0; index < inside.length; index++) {
    if (covered[index]) continue;
    const term = expand(machine, inside[index]!, outside);
    terms.push(term);
    inside.forEach((state, other) => {
      if (covers(term, state)) covered[other] = 1;
    });
  }
  return withoutNeedless(terms, inside).map(literalsOf);
}

function covers(term: Term, state: MachineState): boolean {
  return term.every((positions, control) => positions[state[control]!] === 1);
}

/** The term around a state that no position can be added to without taking in a state of `outside`. */
function expand(machine: Machine, state: MachineState, outside: readonly MachineState[]): Term {
  const term = machine.controls.map((control) => {
    const positions = new Uint8Array(control.positions.length);
    positions[state[control.id]!] = 1;
    return positions;
  });
  // For each outside state the number of controls that keep it out. One keeper left: its position must not be added.
  const keepers = outside.map((other) => term.reduce((sum, positions, id) => sum + (positions[other[id]!] ? 0 : 1), 0));
  const forbidden = (control: number): Uint8Array => {
    const result = new Uint8Array(term[control]!.length);
    outside.forEach((other, index) => {
      if (keepers[index] === 1 && !term[control]![other[control]!]) result[other[control]!] = 1;
    });
    return result;
  };
  const add = (control: number, not: Uint8Array): void => {
    outside.forEach((other, index) => {
      const position = other[control]!;
      if (!term[control]![position] && !not[position]) keepers[index]!--;
    });
    not.forEach((no, position) => {
      if (!no) term[control]![position] = 1;
    });
  };
  // Controls that can be left out altogether go first: fewer literals read better than wider ones.
  for (const control of machine.controls) {
    const not = forbidden(control.id);
    if (!not.includes(1)) add(control.id, not);
  }
  for (const control of machine.controls) add(control.id, forbidden(control.id));
  return term;
}

/** Leaves out terms, narrow ones first, as long as every inside state is still covered. */
function withoutNeedless(terms: readonly Term[], inside: readonly MachineState[]): Term[] {
  const coverage = terms.map((term) => inside.flatMap((state, index) => (covers(term, state) ? [index] : [])));
  const times = new Int32Array(inside.length);
  for (const states of coverage) for (const state of states) times[state]!++;
  const order = terms.map((_, index) => index).sort((a, b) => coverage[a]!.length - coverage[b]!.length);
  const needless = new Set<number>();
  for (const index of order) {
    if (!coverage[index]!.every((state) => times[state]! > 1)) continue;
    needless.add(index);
    for (const state of coverage[index]!) times[state]!--;
  }
  return terms.filter((_, index) => !needless.has(index));
}

function literalsOf(term: Term): Literal[] {
  return term.flatMap((positions, control) => (positions.includes(0) ? [{ control, positions }] : []));
}
