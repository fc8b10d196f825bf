/** Loads that a contact feeds, told from what hangs on it alone, against two solutions of the whole circuit, on random machines. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Moment } from "../../server/circuit/circuit.ts";
import { fedLoads } from "../../server/circuit/fed-loads.ts";
import { solveState } from "../../server/circuit/solve.ts";
import type { Machine, MachineState } from "../../server/machine/machine.ts";
import { MEDIUM, randomMachines } from "../support/random-machine.ts";

const RUNS = Number(process.env.RUNS ?? 150);

function fedByTwoSolutions(
  machine: Machine,
  contact: number,
  state: MachineState,
  moment: Moment | undefined,
): number[] {
  const circuit = buildCircuit(machine);
  const inMoment = moment ? { moment } : {};
  const closed = solveState(circuit, state, inMoment).loadAmps;
  const open = solveState(circuit, state, { ...inMoment, without: contact }).loadAmps;
  return machine.loads
    .map(({ id }) => id)
    .filter((id) => {
      const amps = Math.hypot(closed.re[id]!, closed.im[id]!);
      return amps > 1e-6 && Math.hypot(open.re[id]!, open.im[id]!) < amps / 2;
    });
}

test("the same loads and currents as by two solutions of the whole circuit", () => {
  let fed = 0;
  fc.assert(
    fc.property(randomMachines(MEDIUM), fc.array(fc.nat(), { minLength: 12, maxLength: 12 }), (machine, picks) => {
      const circuit = buildCircuit(machine);
      const state = Uint8Array.from(machine.controls, ({ positions }, id) => picks[id % 12]! % positions.length);
      state[machine.supply.control] = 0;
      const starting = machine.loads.map(({ id }) => id).filter((id) => picks[id % 12]! % 3 === 0);
      for (const moment of [undefined, { at: "inrush", loads: starting } as const])
        for (const { id } of machine.contacts) {
          const { loads, re, im } = fedLoads(circuit, id, state, moment);
          expect(loads).toEqual(fedByTwoSolutions(machine, id, state, moment));
          const { loadAmps } = solveState(circuit, state, moment ? { moment } : undefined);
          expect([re, im]).toEqual([loadAmps.re, loadAmps.im]);
          fed += loads.length;
        }
    }),
    { numRuns: RUNS },
  );
  // Else nothing was compared.
  expect(fed).toBeGreaterThan(RUNS);
});
