/**
 * A fault is an override of the one circuit, since hundreds are solved for each reading and none needs a machine of its own. Where an edit
 * of the machine says the same (open, welded, a wire gone, a leg lost), both must give the same volts and amps.
 */
import { describe, expect, it } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Overrides } from "../../server/circuit/circuit.ts";
import { solveState } from "../../server/circuit/solve.ts";
import { type Edit, edit } from "../../server/machine/edit.ts";
import { listFaults } from "../../server/meter/faults.ts";
import { machineOf, textOf } from "../checks/mutations/machines.ts";
import { nominalStates } from "../states/run.ts";

/** The edits that say the same as the overrides; undefined where no edit can. */
function editsOf({ contacts, loads, wires, added, lostLegs }: Overrides): Edit[] | undefined {
  if (added && added.length > 0) return undefined;
  const edits: Edit[] = (lostLegs ?? []).map((terminal) => ({ edit: "lose-leg", terminal }));
  for (const [contact, { as }] of contacts ?? []) {
    if (as !== "open" && as !== "closed") return undefined;
    edits.push({ edit: "change-contact", contact, closed: as === "open" ? [] : [[]] });
  }
  for (const [load, { as }] of loads ?? []) {
    if (as !== "open") return undefined;
    edits.push({ edit: "change-load", load, impedance: undefined });
  }
  for (const [wire, { as }] of [...(wires ?? [])].sort(([a], [b]) => b - a)) {
    if (as !== "open") return undefined;
    edits.push({ edit: "remove-wire", wire });
  }
  return edits.length > 0 ? edits : undefined;
}

describe.each(["electric-dryer", "top-loading-washer", "gas-burner", "two heats"])("%s", (name) => {
  it("every fault that an edit can say solves the same both ways", () => {
    const machine = machineOf(textOf(name));
    const circuit = buildCircuit(machine);
    const states = [...nominalStates(machine)].filter((_, index) => index % 83 === 0);
    let compared = 0;
    for (const { words, looks } of listFaults(machine))
      for (const { overrides } of looks) {
        const edits = overrides && editsOf(overrides);
        if (!edits) continue;
        const changed = buildCircuit(edit(machine, edits));
        for (const state of states) {
          const fault = solveState(circuit, state, { overrides });
          const variant = solveState(changed, state);
          compared++;
          expect(fault.shorts.length > 0, words).toBe(variant.shorts.length > 0);
          for (const { id, name: load } of machine.loads) {
            const [a, b] = [fault, variant].map(({ loadAmps }) => Math.hypot(loadAmps.re[id]!, loadAmps.im[id]!));
            if (Number.isNaN(a) && Number.isNaN(b)) continue;
            expect(a, `${words}: ${load}`).toBeCloseTo(b!, 6);
          }
        }
      }
    expect(compared).toBeGreaterThan(30);
  });
});
