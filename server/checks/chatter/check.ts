/** A relay or motor that never comes to rest: it switches itself off and on again. */
import { shownPlain } from "../ask.ts";
import type { Check } from "../check.ts";
import { controlName, list, related, relatedOnce, verb } from "../words.ts";

export const chatter: Check = {
  id: "chatter",
  gravity: "error",
  title: "A relay or motor that switches itself off and on without end",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    for (const { state, controls } of engine.chatters()) {
      const names = controls.map((id) => controlName(machine, machine.controls[id]!));
      const first = machine.controls[controls[0] ?? machine.supply.control]!;
      report({
        place: machine.parts[first.part]!.namePlace,
        what: `${list(names)} never ${verb(names.length, "comes", "come")} to rest: each change undoes the cause of the one before.`,
        why: `${verb(names.length, "It chatters", "They chatter")} many times a second and ${verb(names.length, "burns its", "burn their")} contacts.`,
        advice: `Look for a contact of ${machine.parts[first.part]!.name} that cuts its own feed, and let another contact hold it.`,
        state: shownPlain(machine, state),
        related: relatedOnce(
          machine.parts[first.part]!.namePlace,
          machine.contacts
            .filter(({ closed }) => closed.some((clause) => clause.some(({ control }) => controls.includes(control))))
            .map((c) => related(c.namePlace, `${c.name} moves with it`)),
        ),
      });
      yield;
    }
  },
};
