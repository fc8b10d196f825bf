/** A relay or motor that never comes to rest: it switches itself off and on again. */
import { shownPlain } from "../ask.ts";
import type { Check } from "../check.ts";
import { list, related, relatedOnce } from "../words.ts";

export const chatter: Check = {
  id: "chatter",
  gravity: "error",
  title: "A relay or motor that switches itself off and on without end",
  *run({ engine, machine, report }) {
    for (const { state, controls } of engine.chatters()) {
      const names = controls.map((id) => machine.controls[id]!.name);
      const first = machine.controls[controls[0] ?? machine.supply.control]!;
      report({
        place: machine.parts[first.part]!.namePlace,
        what: `${list(names)} never ${names.length > 1 ? "come" : "comes"} to rest: each change undoes the cause of the one before.`,
        why: "It chatters many times a second and burns its contacts.",
        advice: `Look for a contact of ${first.name} that cuts its own feed, and let another contact hold it.`,
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
