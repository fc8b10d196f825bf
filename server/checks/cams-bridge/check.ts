/** Cams of one timer step do not move together: a contact that closes before others open can tie two legs together. */

import { conditionHolds } from "../../circuit/condition.ts";
import { magnitude } from "../../circuit/measure.ts";
import { solveState } from "../../circuit/solve.ts";
import type { ContactId, MachineState } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { position, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, related, relatedOnce, terminalName } from "../words.ts";

export const camsBridge: Check = {
  id: "cams-bridge",
  gravity: "error",
  title: "Timer contacts that short the supply for a moment between two steps",
  *run({ engine, machine, report }) {
    const { legs } = machine.supply;
    const told = new Set<ContactId>();
    for (const program of machine.programs) {
      const control = machine.controls[program.control]!;
      const steps = control.positions.length;
      for (let step = 0; step + 1 < steps + (program.repeats ? 1 : 0); step++) {
        yield;
        const next = (step + 1) % steps;
        const closing = machine.contacts.filter(({ id, closed }) => {
          if (told.has(id) || !closed.some((clause) => clause.some((l) => l.control === control.id))) return false;
          return positionAllows(closed, control.id, next) && !positionAllows(closed, control.id, step);
        });
        if (closing.length === 0) continue;
        const here = engine.where([[{ control: control.id, positions: position(machine, control.id, step) }]]);
        for (const contact of closing) {
          for (let i = 0; i < legs.length && !told.has(contact.id); i++)
            for (let j = 0; j < legs.length && !told.has(contact.id); j++) {
              if (
                i === j ||
                magnitude({ re: legs[i]!.volts.re - legs[j]!.volts.re, im: legs[i]!.volts.im - legs[j]!.volts.im }) < 1
              )
                continue;
              const facing = engine.and(engine.and(here, engine.tied(contact.a, i)), engine.tied(contact.b, j));
              const state = engine.witness(facing);
              if (!state || !shortsWith(engine, contact.id, state, control.id, next)) continue;
              told.add(contact.id);
              report({
                place: contact.namePlace,
                what: `From ${control.name} in ${control.positions[step]!.name} to ${control.positions[next]!.name}, ${contactName(machine, contact.id)} ties ${terminalName(machine, legs[i]!.terminal)} to ${terminalName(machine, legs[j]!.terminal)} if it closes before the others open.`,
                why: "Cams move one after the other, in no sure order: for a moment the supply is shorted, and the contact burns a little more each time.",
                advice:
                  "Put a step between with these contacts open (a pause), or use a changeover contact, which breaks before it makes.",
                state: shown(engine, state),
                related: relatedOnce(contact.namePlace, [related(program.place, `the chart of ${control.name}`)]),
              });
            }
        }
      }
    }
  },
};

/** A condition that may hold with the control in this position, whatever else. */
function positionAllows(
  closed: readonly (readonly { readonly control: number; readonly positions: Uint8Array }[])[],
  control: number,
  at: number,
): boolean {
  return closed.some((clause) => clause.every((literal) => literal.control !== control || literal.positions[at] === 1));
}

/** The state with this contact closed as well and its changeover partner already open: is it a short, and would it really close? */
function shortsWith(engine: Engine, contact: ContactId, state: MachineState, control: number, next: number): boolean {
  const { circuit } = engine;
  const it = circuit.machine.contacts[contact]!;
  const after = state.slice();
  after[control] = next;
  if (!conditionHolds(it.closed, after)) return false;
  const contacts = new Map<ContactId, { as: "closed" } | { as: "open" }>([[contact, { as: "closed" }]]);
  if (it.partner !== undefined) contacts.set(it.partner, { as: "open" });
  return solveState(circuit, state, { overrides: { contacts } }).shorts.length > 0;
}
