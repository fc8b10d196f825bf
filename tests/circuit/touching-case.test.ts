/** A load that touches metal at several places: to the last bit what whole solutions with each place as an override say. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { solveState } from "../../server/circuit/solve.ts";
import { touchingCase } from "../../server/circuit/touching-case.ts";
import type { Machine, MachineState } from "../../server/machine/machine.ts";
import { MEDIUM, randomMachines } from "../support/random-machine.ts";

const SHARES = [0.25, 0.5, 0.75, 1];

function compared(machine: Machine, state: MachineState): number {
  const circuit = buildCircuit(machine);
  let touched = 0;
  for (const { id } of machine.loads)
    for (const shares of [SHARES, SHARES.map((share) => 1 - share)]) {
      const found = touchingCase(circuit, state, id, shares);
      shares.forEach((share, at) => {
        const loads = new Map([[id, { as: "to-case" as const, share, ohms: 0.001 }]]);
        const whole = solveState(buildCircuit(machine), state, { overrides: { loads } });
        expect(found[at]!.watts).toBe(whole.loadWatts[id]);
        expect(found[at]!.amps).toEqual(whole.caseAmps.get(id));
        if (whole.caseAmps.has(id) && whole.loadWatts[id]! > 0) touched++;
      });
    }
  return touched;
}

test("on random machines in random states", () => {
  let touched = 0;
  fc.assert(
    fc.property(randomMachines(MEDIUM), fc.array(fc.nat(60), { minLength: 1, maxLength: 8 }), (sound, numbers) => {
      // Metal on a leg, or anywhere.
      const ends = [...sound.supply.legs, ...sound.terminals].map((end) => ("terminal" in end ? end.terminal : end.id));
      const frame = ends[numbers[0]! % ends.length]!;
      const machine = { ...sound, parts: sound.parts.map((part) => ({ ...part, frame })) };
      const state = Uint8Array.from(machine.controls, ({ id, positions }) =>
        id === machine.supply.control ? 0 : numbers[id % numbers.length]! % positions.length,
      );
      touched += compared(machine, state);
    }),
    { numRuns: Number(process.env.RUNS ?? 60) },
  );
  expect(touched).toBeGreaterThan(100);
});
