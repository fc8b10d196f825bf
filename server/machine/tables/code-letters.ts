/** Locked-rotor kVA per horsepower by the code letter of the plate. NEC 430.7(B), read in reposted copies. */
import type { Sourced } from "./source.ts";

/** Smallest and largest kVA per hp of each letter; V is open above. */
export const codeLetters: Sourced<Readonly<Record<string, readonly [number, number]>>> = {
  source: "NEC 430.7(B)",
  mark: "secondary",
  value: {
    A: [0, 3.14],
    B: [3.15, 3.54],
    C: [3.55, 3.99],
    D: [4, 4.49],
    E: [4.5, 4.99],
    F: [5, 5.59],
    G: [5.6, 6.29],
    H: [6.3, 7.09],
    J: [7.1, 7.99],
    K: [8, 8.99],
    L: [9, 9.99],
    M: [10, 11.19],
    N: [11.2, 12.49],
    P: [12.5, 13.99],
    R: [14, 15.99],
    S: [16, 17.99],
    T: [18, 19.99],
    U: [20, 22.39],
    V: [22.4, 22.4],
  },
};

/** Largest locked-rotor current, A, of a single-phase motor with this code letter: 1000 x kVA/hp x hp / V. */
export function codeLetterAmps(letter: string, horsepower: number, volts: number): number | undefined {
  const range = codeLetters.value[letter.toUpperCase()];
  if (!range || !(horsepower > 0) || !(volts > 0)) return undefined;
  return (1000 * range[1] * horsepower) / volts;
}
