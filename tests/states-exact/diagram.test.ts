/**
 * Diagrams against truth tables: every operation must equal the same operation done on the list of all states. The algebra is
 * that of sets (source of the checks: the definition of each operation, spelled out over all states).
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { Diagrams, EMPTY, FULL, STEPS } from "../../server/states/exact/diagram.ts";

interface World {
  readonly arity: readonly number[];
  readonly steps: number;
}

const worlds = fc.record({
  arity: fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 4 }),
  steps: fc.constantFrom(1, 2, 5, 33, 70),
});

/** Every state: positions of the variables, then the step. */
function statesOf({ arity, steps }: World): number[][] {
  let states: number[][] = [[]];
  for (const n of [...arity, steps]) states = states.flatMap((s) => Array.from({ length: n }, (_, p) => [...s, p]));
  return states;
}

function holds(diagrams: Diagrams, set: number, state: readonly number[]): boolean {
  while (diagrams.levelOf(set) !== STEPS) set = diagrams.branch(set, state[diagrams.levelOf(set)]!);
  return diagrams.hasStep(set, state.at(-1)!);
}

/** A set made of random ANDs of literals, and the same as a truth table. */
function randomSet(diagrams: Diagrams, world: World, bits: readonly number[]): { set: number; table: boolean[] } {
  const levels = world.arity.length;
  let set = EMPTY;
  const states = statesOf(world);
  const table = states.map(() => false);
  for (let i = 0; i + 2 < bits.length; i += 3) {
    let term = FULL;
    const test: ((state: readonly number[]) => boolean)[] = [];
    for (const bit of [bits[i]!, bits[i + 1]!, bits[i + 2]!]) {
      const variable = bit % (levels + 1);
      const size = variable === levels ? world.steps : world.arity[variable]!;
      const mask = Array.from({ length: size }, (_, p) => ((bit >> (3 + (p % 13))) & 1) as number);
      term = diagrams.and(term, diagrams.literal(variable === levels ? STEPS : variable, mask));
      test.push((state) => mask[state[variable]!] === 1);
    }
    set = diagrams.or(set, term);
    states.forEach((state, k) => {
      if (test.every((one) => one(state))) table[k] = true;
    });
  }
  return { set, table };
}

function setUp(world: World): Diagrams {
  const diagrams = new Diagrams(world.steps);
  for (const n of world.arity) diagrams.addVariable(n);
  return diagrams;
}

const bits = fc.array(fc.nat(0xffff), { minLength: 0, maxLength: 9 });

test("and, or, minus, not, choose equal their truth tables, and equal sets have equal numbers", () => {
  fc.assert(
    fc.property(worlds, bits, bits, bits, (world, x, y, z) => {
      const diagrams = setUp(world);
      const [a, b, c] = [randomSet(diagrams, world, x), randomSet(diagrams, world, y), randomSet(diagrams, world, z)];
      // Before any other operation could answer from its cache.
      expect(diagrams.meets(a.set, b.set)).toBe(a.table.some((v, k) => v && b.table[k]!));
      expect(diagrams.isSubset(b.set, c.set)).toBe(b.table.every((v, k) => !v || c.table[k]!));
      const states = statesOf(world);
      const check = (set: number, table: readonly boolean[]) => {
        states.forEach((state, k) => {
          if (holds(diagrams, set, state) !== table[k]) throw new Error(`differs at ${state}`);
        });
      };
      check(a.set, a.table);
      check(
        diagrams.and(a.set, b.set),
        a.table.map((v, k) => v && b.table[k]!),
      );
      check(
        diagrams.or(a.set, b.set),
        a.table.map((v, k) => v || b.table[k]!),
      );
      check(
        diagrams.minus(a.set, b.set),
        a.table.map((v, k) => v && !b.table[k]!),
      );
      check(
        diagrams.not(a.set),
        a.table.map((v) => !v),
      );
      check(
        diagrams.choose(a.set, b.set, c.set),
        a.table.map((v, k) => (v ? b.table[k]! : c.table[k]!)),
      );
      const same = a.table.every((v, k) => v === b.table[k]);
      expect(a.set === b.set).toBe(same);
      expect(diagrams.meets(a.set, b.set)).toBe(a.table.some((v, k) => v && b.table[k]!));
      expect(diagrams.isSubset(a.set, b.set)).toBe(a.table.every((v, k) => !v || b.table[k]!));
    }),
    { numRuns: 300 },
  );
});

test("fix, move and forget equal their definitions", () => {
  fc.assert(
    fc.property(worlds, bits, fc.nat(), fc.nat(0xffff), (world, x, pick, links) => {
      const diagrams = setUp(world);
      const a = randomSet(diagrams, world, x);
      const states = statesOf(world);
      const index = new Map(states.map((state, k) => [state.join(), k]));
      const inside = (state: readonly number[]) => a.table[index.get(state.join())!]!;
      const variable = pick % (world.arity.length + 1);
      const level = variable === world.arity.length ? STEPS : variable;
      const size = level === STEPS ? world.steps : world.arity[variable]!;
      const at = (state: readonly number[], p: number) => state.map((v, i) => (i === variable ? p : v));
      const all = Array.from({ length: size }, (_, p) => p);

      const held = pick % size;
      const fixed = diagrams.fix(a.set, level, held);
      const to = all.map((p) => Uint8Array.from(all, (q) => (links >> ((p * 3 + q) % 16)) & 1));
      const moved = diagrams.move(a.set, diagrams.relation(level, to));
      const marks = new Uint8Array(world.arity.length + 1);
      marks[variable] = 1;
      const freed = diagrams.forget(a.set, diagrams.levels(marks));
      for (const state of states) {
        expect(holds(diagrams, fixed, state)).toBe(inside(at(state, held)));
        const here = state[variable]!;
        expect(holds(diagrams, moved, state)).toBe(all.some((p) => to[p]![here] === 1 && inside(at(state, p))));
        expect(holds(diagrams, freed, state)).toBe(all.some((p) => inside(at(state, p))));
      }
    }),
    { numRuns: 150 },
  );
});

test("a parity of 20 controls stays small and exact", () => {
  const diagrams = new Diagrams(1);
  const levels = Array.from({ length: 20 }, () => diagrams.addVariable(2));
  let odd = EMPTY;
  for (const level of levels) {
    const on = diagrams.position(level, 1);
    odd = diagrams.choose(on, diagrams.not(odd), odd);
  }
  // Known: a parity needs two nodes per variable but the first (Bryant 1986, section 4).
  expect(diagrams.nodeCount).toBeLessThan(20 * 60);
  const state = [...levels.map((_, k) => k % 2), 0];
  expect(holds(diagrams, odd, state)).toBe(false);
  state[1] = 0;
  expect(holds(diagrams, odd, state)).toBe(true);
});
