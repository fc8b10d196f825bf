/** A lead for a test that stands in the machine's own text, as if it were used so. */
import type { Contact, Machine } from "../../machine/machine.ts";
import type { Check } from "../check.ts";
import { guardsOn, keepsHandsOff, provesAir, watchesWater } from "../hazards.ts";
import { contactName, list, related, relatedOnce, terminalName } from "../words.ts";

export const jumperLeftIn: Check = {
  id: "jumper-left-in",
  gravity: "warning",
  title: "A jumper that is left in",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    const { jointOf } = engine.circuit;
    for (const { a, b, kind, place } of machine.wires) {
      if (kind !== "jumper") continue;
      yield;
      const joint = jointOf[a];
      const across = machine.contacts.filter((contact) => jointOf[contact.a] === joint && jointOf[contact.b] === joint);
      const grave = across.some((contact) => keepsPeopleSafe(machine, contact));
      const names = list(across.map(({ id }) => contactName(machine, id)));
      report({
        ...(grave && { gravity: "error" as const }),
        place,
        what: `A jumper joins ${terminalName(machine, a)} and ${terminalName(machine, b)}${across.length > 0 ? `, so that ${names} cannot open anything` : ""}.`,
        why: grave
          ? "What keeps people from harm is bridged, and nobody who uses the machine knows."
          : "A jumper is a lead for a test: nobody who uses the machine knows that it is there.",
        advice:
          "Take it out of the machine and out of the text before the machine is used. To try it on paper write it in a proposal; a lead that is meant to stay is a wire.",
        related: relatedOnce(
          place,
          across.map(({ id, namePlace }) => related(namePlace, `${contactName(machine, id)} is bridged`)),
        ),
      });
    }
  },
};

function keepsPeopleSafe(machine: Machine, contact: Contact): boolean {
  return (
    contact.role !== "switching" ||
    keepsHandsOff(machine, contact) ||
    provesAir(machine, contact) ||
    watchesWater(machine, contact) ||
    guardsOn(machine, contact).length > 0
  );
}
