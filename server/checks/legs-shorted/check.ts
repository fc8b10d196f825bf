/** Closed contacts that tie two legs of the supply together. */
import type { MachineState } from "../../machine/machine.ts";
import { less, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, list, related, relatedOnce, terminalName } from "../words.ts";

/** More different shorts than this are not told one by one: mending the first ones clears most of the rest. */
const MOST = 5;

export const legsShorted: Check = {
  id: "legs-shorted",
  gravity: "error",
  title: "Contacts that short the supply",
  hangsOn: "structure",
  *run({ engine, machine, report, amountsDecide }) {
    let left = engine.shorted();
    for (let told = 0; told < MOST; told++) {
      const state: MachineState | undefined = engine.witness(left);
      if (!state) return;
      amountsDecide();
      const shorts = engine.solve(state).shorts;
      const short = shorts[0];
      const contacts = short?.contacts ?? [];
      const legs = short ? list(short.legs.map((leg) => terminalName(machine, leg))) : "Two legs of the supply";
      const place = contacts.length > 0 ? machine.contacts[contacts[0]!]!.namePlace : wirePlace();
      report({
        place,
        what:
          contacts.length > 0
            ? `${legs} are tied together through ${list(contacts.map((id) => contactName(machine, id)))}.`
            : `${legs} are tied together by wire alone.`,
        why: "Nothing limits the current: the breaker trips, and the contact that closes last burns or welds.",
        advice:
          contacts.length > 1
            ? "Follow the wires of these contacts against the machine's own sheet; one of them lands on the wrong terminal, or one is written closed in a position where it is open."
            : "Follow these wires against the machine's own sheet; one of them lands on the wrong terminal.",
        state: shown(engine, state),
        related: relatedOnce(
          place,
          [
            ...contacts.map((id) =>
              related(machine.contacts[id]!.namePlace, `${machine.contacts[id]!.name} is closed`),
            ),
            ...(short ? [related(wirePlace(), "the wire between them")] : []),
          ].slice(0, contacts.length > 0 ? contacts.length : 1),
        ),
      });
      if (contacts.length === 0) return;
      // States in which these very contacts are closed together are told.
      left = less(
        engine,
        left,
        contacts.map((id) => engine.closed(id)).reduce((a, b) => engine.and(a, b)),
      );
      yield;

      function wirePlace() {
        const { legJoint, jointOf } = engine.circuit;
        const joint = short ? jointOf[short.legs[0]] : legJoint[0];
        const tie = machine.wires.find(({ a, kind }) => jointOf[a] === joint && kind !== "internal");
        return tie?.place ?? machine.supply.place;
      }
    }
  },
};
