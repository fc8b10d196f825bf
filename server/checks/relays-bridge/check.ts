/** Relays do not move together: one that pulls in before another drops out can tie two legs together. */
import { conditionHolds } from "../../circuit/condition.ts";
import { solveState } from "../../circuit/solve.ts";
import type { Contact, ControlId, MachineState } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { position, shownAfter } from "../ask.ts";
import type { Check } from "../check.ts";
import { groupsOf, passages } from "../opposed.ts";
import { contactName, controlName, list, related, relatedOnce, terminalName } from "../words.ts";

export const relaysBridge: Check = {
  id: "relays-bridge",
  gravity: "error",
  title: "Relays that short the supply for a moment while they change over",
  *run({ engine, machine, report }) {
    const relays = machine.controls.filter(
      ({ rule, id }) => rule?.rule === "coil" && contactsOf(engine, id).length > 0,
    );
    const told = new Set<string>();
    for (const one of relays)
      for (const other of relays) {
        if (one === other || told.has([one.id, other.id].sort().join())) continue;
        yield;
        if (!couldBridge(engine, one.id, other.id)) continue;
        const at = (control: ControlId) => engine.where([[{ control, positions: position(machine, control, 1) }]]);
        const found = search(at(one.id), at(other.id));
        for (let step = found.next(); ; step = found.next()) {
          if (!step.done) {
            yield;
            continue;
          }
          if (step.value) {
            told.add([one.id, other.id].sort().join());
            tell(one.id, other.id, step.value);
          }
          break;
        }
      }

    function* search(
      from: ReturnType<Engine["all"]>,
      to: ReturnType<Engine["all"]>,
    ): Generator<void, Found | undefined> {
      for (const passage of passages(engine, from, to)) {
        yield;
        if (!passage) continue;
        for (const state of passage.moving) {
          if (state[machine.supply.control] !== 0) continue;
          const short = solveState(engine.circuit, state).shorts[0];
          if (short) return { ...passage, state, contacts: short.contacts, legs: short.legs };
        }
      }
      return undefined;
    }

    function tell(one: ControlId, other: ControlId, { before, control, to, state, contacts, legs }: Found): void {
      const fresh = contacts.filter((id) => !conditionHolds(machine.contacts[id]!.closed, before));
      const first = machine.contacts[fresh[0] ?? contacts[0]!]!;
      const moved = machine.controls[control]!;
      report({
        place: first.namePlace,
        what: `When ${controlName(machine, moved)} goes to ${moved.positions[to]!.name}, ${terminalName(machine, legs[0])} and ${terminalName(machine, legs[1])} are tied together for a moment through ${list(contacts.map((id) => contactName(machine, id)))}, if ${controlName(machine, machine.controls[other]!)} pulls in before ${controlName(machine, machine.controls[one]!)} drops out.`,
        why: "Relays never move at quite the same time: for a moment the supply is shorted, and the contacts burn or weld.",
        advice:
          "Feed each coil through a normally closed contact of the other relay, so that one can pull in only when the other has dropped out.",
        state: shownAfter(engine, before, state),
        related: relatedOnce(
          first.namePlace,
          contacts.map((id) =>
            related(machine.contacts[id]!.namePlace, `${machine.contacts[id]!.name} is closed in that moment`),
          ),
        ),
      });
    }
  },
};

interface Found {
  readonly before: MachineState;
  readonly control: ControlId;
  readonly to: number;
  readonly state: MachineState;
  readonly contacts: readonly number[];
  readonly legs: readonly [number, number];
}

function contactsOf(engine: Engine, control: ControlId): Contact[] {
  return engine.circuit.machine.contacts.filter(({ closed }) =>
    closed.some((clause) => clause.some((literal) => literal.control === control)),
  );
}

/** With every contact closed that can be, other than those that open when either relay pulls in, two legs are joined. */
function couldBridge(engine: Engine, one: ControlId, other: ControlId): boolean {
  const { circuit } = engine;
  const { contacts } = circuit.machine;
  const groups = groupsOf(engine, (id) =>
    contacts[id]!.closed.some((clause) =>
      clause.every(({ control, positions }) => (control !== one && control !== other) || positions[1] === 1),
    ),
  );
  return circuit.machine.supply.legs.some((_, i) =>
    circuit.machine.supply.legs.some(
      (_, j) =>
        i < j &&
        groups[circuit.legJoint[i]!] === groups[circuit.legJoint[j]!] &&
        Math.hypot(circuit.legRe[i]! - circuit.legRe[j]!, circuit.legIm[i]! - circuit.legIm[j]!) >= 1,
    ),
  );
}
