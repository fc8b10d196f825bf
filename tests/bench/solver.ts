/** Speed of the solver: bare equations, and whole states of a machine with as many unknown voltages. */
import { buildCircuit } from "../../server/circuit/build.ts";
import { solveLinear } from "../../server/circuit/linear.ts";
import { solveState } from "../../server/circuit/solve.ts";
import { buildMachine, stateOf } from "../support/build-machine.ts";

export interface SolverTiming {
  readonly unknowns: number;
  /** Microseconds, the best of several rounds: one set of equations with its data copied in; one whole state. */
  readonly equations: number;
  readonly state: number;
}

/** Times sets of 5, 10, 20 and 30 unknowns. Takes about two seconds. */
export function benchSolver(sizes: readonly number[] = [5, 10, 20, 30]): SolverTiming[] {
  return sizes.map((unknowns) => ({ unknowns, equations: timeEquations(unknowns), state: timeState(unknowns) }));
}

function bestOf(once: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 8; round++) {
    let runs = 0;
    const start = performance.now();
    let now = start;
    while (now - start < 30) {
      for (let i = 0; i < 50; i++) once();
      runs += 50;
      now = performance.now();
    }
    best = Math.min(best, ((now - start) / runs) * 1000);
  }
  return best;
}

function timeEquations(n: number): number {
  let seed = n;
  const random = (): number => (seed = (seed * 16807) % 2147483647) / 2147483647 - 0.5;
  const fill = (length: number): Float64Array => Float64Array.from({ length }, random);
  const [aRe, aIm, bRe, bIm] = [fill(n * n), fill(n * n), fill(n), fill(n)];
  const [cRe, cIm, dRe, dIm] = [aRe.slice(), aIm.slice(), bRe.slice(), bIm.slice()];
  return bestOf(() => {
    cRe.set(aRe);
    cIm.set(aIm);
    dRe.set(bRe);
    dIm.set(bIm);
    solveLinear(n, cRe, cIm, dRe, dIm);
  });
}

/** A ladder of loads, fed through one contact and bridged by others: all its joints are one island. */
function timeState(n: number): number {
  const point = (i: number): string => `p${i}`;
  const machine = buildMachine({
    legs: { L1: 120, L2: -120, N: 0 },
    controls: { S: ["on", "off"] },
    contacts: Array.from({ length: n }, (_, i) => ({ name: `C${i}`, a: point(i), b: `q${i}`, closed: "S on" })),
    loads: Array.from({ length: n }, (_, i) => [
      { name: `A${i}`, a: i === 0 ? "L1" : `q${i - 1}`, b: point(i), z: { re: 10 + i, im: 5 } },
      { name: `B${i}`, a: `q${i}`, b: i % 2 ? "N" : "L2", z: 100 + i },
    ]).flat(),
  });
  const circuit = buildCircuit(machine);
  const state = stateOf(machine);
  return bestOf(() => solveState(circuit, state));
}
