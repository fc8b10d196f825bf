/** Leaving out readings that a trouble cannot change must not change any: each against the whole solution. */
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { ohmsBetween } from "../../server/circuit/measure.ts";
import { candidatesFor } from "../../server/meter/candidates.ts";
import { machineWithOhms } from "../../server/meter/part-ohms.ts";
import { unplugged } from "../../server/meter/settle.ts";
import { benchOf, trials } from "./simulated.ts";

test.each(Object.keys(trials))(
  "%s: ohms of every candidate reading with every fault, against the solver asked directly",
  (sample) => {
    const { engine, faults, trials: tried } = benchOf(sample);
    const { predictor, situation } = tried[0]!;
    const { machine } = engine.circuit;
    const cold = buildCircuit(machineWithOhms(machine, "expected"));
    let checked = 0;
    candidatesFor(engine.circuit, [situation], faults.slice(0, 60)).forEach(({ reading }, i) => {
      if (reading.of !== "ohms" || reading.lifted.length > 0 || i % 3 !== 0) return;
      for (const fault of faults) {
        for (const look of fault.looks.slice(0, 1)) {
          const { value, low, high } = predictor.predict(look, false, reading);
          const state = unplugged(engine.circuit, reading.standing ?? situation.healthy, { held: look.held });
          const whole = ohmsBetween(cold, state, reading.a, reading.b, look.overrides);
          const [least, most] = value === undefined ? [low!, high!] : [value, value];
          const near = (one: number, other: number) =>
            one === other || Math.abs(one - other) <= 0.02 + 1e-3 * other || (one > 1e8 && other > 1e8);
          if (!near(least, whole.atLeast) || !near(most, whole.atMost))
            expect({ fault: fault.words, reading, least, most }).toEqual({
              fault: fault.words,
              reading,
              least: whole.atLeast,
              most: whole.atMost,
            });
          checked++;
        }
      }
    });
    expect(checked).toBeGreaterThan(200);
  },
);
