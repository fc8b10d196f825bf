/**
 * The multiplier-adder example of J. de Kleer and B. C. Williams, "Diagnosing multiple faults", Artificial Intelligence 32 (1987)
 * 97-130: three multipliers and two adders, A=3, B=2, C=2, D=3, E=3; F is 10 where 12 was due, G is 12. The first conflict
 * and the second as on the slides of B. C. Williams, Conflict-directed diagnosis, MIT 16.412J/6.834J, 10 March 2004; the four
 * minimal diagnoses from the paper (from memory, and by enumeration). Odds with prior 0.01 each over the minimal diagnoses:
 * computed by hand.
 */
import { expect, test } from "vitest";
import { minimalDiagnoses, minimalHittingSets } from "../../server/meter/inference/diagnoses.ts";
import { entropy, expectedEntropy, posterior } from "../../server/meter/inference/odds.ts";

const names = ["M1", "M2", "M3", "A1", "A2"];
const [M1, M2, M3, A1, A2] = [0, 1, 2, 3, 4] as const;
const named = (sets: readonly (readonly number[])[]) => sets.map((set) => set.map((each) => names[each]).sort()).sort();

type Values = { X?: number; Y?: number; Z?: number; F?: number; G?: number };

/** Values that follow from what is given and from the sound components, forwards and backwards; undefined: a contradiction. */
function propagate(given: Values, broken: readonly number[]): Values | undefined {
  const values: Values = { ...given };
  let good = true;
  let changed = true;
  const set = (name: keyof Values, value: number | undefined) => {
    if (value === undefined) return;
    if (values[name] === undefined) {
      values[name] = value;
      changed = true;
    } else if (values[name] !== value) good = false;
  };
  const plus = (a?: number, b?: number) => (a === undefined || b === undefined ? undefined : a + b);
  const adder = (sum: "F" | "G", left: "X" | "Y", right: "Y" | "Z") => {
    set(sum, plus(values[left], values[right]));
    set(left, plus(values[sum], values[right] === undefined ? undefined : -values[right]));
    set(right, plus(values[sum], values[left] === undefined ? undefined : -values[left]));
  };
  while (changed && good) {
    changed = false;
    if (!broken.includes(M1)) set("X", 3 * 2);
    if (!broken.includes(M2)) set("Y", 2 * 3);
    if (!broken.includes(M3)) set("Z", 2 * 3);
    if (!broken.includes(A1)) adder("F", "X", "Y");
    if (!broken.includes(A2)) adder("G", "Y", "Z");
  }
  return good ? values : undefined;
}

const observed: Values = { F: 10, G: 12 };
const diagnoses = minimalDiagnoses([M1, M2, M3, A1, A2], (broken) => propagate(observed, broken) !== undefined);

test("minimal diagnoses: [A1], [M1], [A2, M2], [M2, M3]", () => {
  expect(named(diagnoses)).toEqual([["A1"], ["A2", "M2"], ["M1"], ["M2", "M3"]]);
});

test("minimal conflicts: {A1, M1, M2} and {A1, A2, M1, M3}; each list follows from the other", () => {
  const conflicts = minimalHittingSets(diagnoses);
  expect(named(conflicts)).toEqual([
    ["A1", "A2", "M1", "M3"],
    ["A1", "M1", "M2"],
  ]);
  expect(named(minimalHittingSets(conflicts))).toEqual(named(diagnoses));
});

test("the best next probe is X", () => {
  const prior = (broken: readonly number[]) => 0.01 ** broken.length * 0.99 ** (5 - broken.length);
  const odds = posterior(
    diagnoses.map(prior),
    diagnoses.map(() => 1),
  );
  const of = (name: string) => odds[diagnoses.findIndex((set) => named([set])[0]!.join() === name)]!;
  expect([of("A1"), of("M1"), of("A2,M2"), of("M2,M3")].map((p) => p.toFixed(3))).toEqual([
    "0.495",
    "0.495",
    "0.005",
    "0.005",
  ]);
  expect(entropy(odds)).toBeCloseTo(1.0808, 4);
  const left = (probe: "X" | "Y" | "Z") => {
    const values = diagnoses.map((broken) => propagate(observed, broken)![probe]);
    const known = [...new Set(values.filter((value) => value !== undefined))];
    return expectedEntropy(
      odds,
      values.map((value) => known.map((each) => (value === undefined ? 1 / known.length : each === value ? 1 : 0))),
    ).entropy;
  };
  expect(left("X")).toBeCloseTo(0.0809, 4);
  expect(left("Y")).toBeCloseTo(1.0, 3);
  expect(left("Z")).toBeCloseTo(1.0354, 4);
});
