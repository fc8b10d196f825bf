/** Volts across one load with some contacts closed: to the last bit those of the whole solution. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Override } from "../../server/circuit/circuit.ts";
import { solveState, voltsAcross } from "../../server/circuit/solve.ts";
import type { ContactId } from "../../server/machine/machine.ts";
import { MEDIUM, randomMachines } from "../support/random-machine.ts";

test("on random machines in random states", () => {
  let fed = 0;
  fc.assert(
    fc.property(randomMachines(MEDIUM), fc.array(fc.nat(60), { minLength: 1, maxLength: 8 }), (machine, numbers) => {
      const state = Uint8Array.from(machine.controls, ({ id, positions }) =>
        id === machine.supply.control ? 0 : numbers[id % numbers.length]! % positions.length,
      );
      const closed = machine.contacts.filter(({ id }) => numbers[id % numbers.length]! % 5 === 0);
      const contacts = new Map<ContactId, Override>(closed.map(({ id }) => [id, { as: "closed" }]));
      const circuit = buildCircuit(machine);
      const { loadVolts, shorts } = solveState(buildCircuit(machine), state, { overrides: { contacts } });
      for (const { id } of machine.loads) {
        const whole = Math.hypot(loadVolts.re[id]!, loadVolts.im[id]!);
        expect(voltsAcross(circuit, state, id, { contacts })).toBe(shorts.length > 0 ? undefined : whole);
        if (shorts.length === 0 && whole > 0) fed++;
      }
    }),
    { numRuns: 60 },
  );
  expect(fed).toBeGreaterThan(20);
});
