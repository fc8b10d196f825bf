/** A contact that switches a motor or heater and has no rating written: it was not judged, and silence must not look like an all-clear. */
import type { Contact, Load, LoadId, PartId } from "../../machine/machine.ts";
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, list, loadName, partName, related, relatedOnce, verb } from "../words.ts";

/** Loads whose current burns contacts: a lamp's or a valve's seldom does. Trade judgement, no published source. */
const HEAVY = new Set<Load["kind"]>(["heater", "igniter", "winding", "fan", "pump"]);

/** Fuses and breakers are sized, not rated to switch; a motor's own protector is part of its plate. */
const NOT_ASKED = new Set<Contact["role"]>(["fuse", "breaker", "built-in-protector"]);

interface Unrated {
  readonly contacts: Contact[];
  readonly loads: Set<LoadId>;
}

export const ratingNotWritten: Check = {
  id: "rating-not-written",
  gravity: "information",
  title: "A contact that could not be judged, since no rating is written",
  *run({ engine, machine, report }) {
    const heavy = machine.loads.filter(({ kind }) => HEAVY.has(kind));
    const byPart = new Map<PartId, Unrated>();
    for (const contact of machine.contacts) {
      if (contact.ratings.length > 0 || NOT_ASKED.has(contact.role)) continue;
      yield;
      const loads = heavy.filter(({ id }) => !engine.isEmpty(engine.inSeries(contact.id, id)));
      if (loads.length === 0) continue;
      const there = byPart.get(contact.part) ?? { contacts: [], loads: new Set() };
      there.contacts.push(contact);
      for (const { id } of loads) there.loads.add(id);
      byPart.set(contact.part, there);
    }
    if (byPart.size === 0) return;
    // With no rating in the whole text once is enough.
    if (machine.contacts.every(({ ratings }) => ratings.length === 0)) {
      const all = [...byPart.values()];
      tell(
        { contacts: all.flatMap(({ contacts }) => contacts), loads: new Set(all.flatMap(({ loads }) => [...loads])) },
        (loads) =>
          `No contact of this machine has a rating written, so none of those that switch ${loads} could be judged.`,
      );
      return;
    }
    for (const [id, unrated] of byPart) {
      const part = machine.parts[id]!;
      const whole = unrated.contacts.length === part.contacts.length;
      const subject = whole ? partName(part) : list(unrated.contacts.map((c) => contactName(machine, c.id)));
      const many = whole ? 1 : unrated.contacts.length;
      tell(
        unrated,
        (loads) =>
          `No rating is written for ${subject}, which ${verb(many, "switches", "switch")} ${loads}, so ${verb(many, "it", "they")} could not be judged.`,
      );
    }

    function tell({ contacts, loads }: Unrated, words: (loads: string) => string): void {
      const [first] = contacts;
      const [load] = loads;
      const state = engine.witness(engine.inSeries(first!.id, load!));
      report({
        place: first!.namePlace,
        what: words(list([...loads].map((one) => loadName(machine, one)))),
        why: "A contact over its rating burns or welds and stays closed; that nothing else is said here is no all-clear.",
        advice: "Read the stamp on the part and write it behind the contact, as in: rated 15 A 125 V.",
        ...(state ? { state: shown(engine, state) } : {}),
        related: relatedOnce(first!.namePlace, [
          ...contacts.slice(1).map((c) => related(c.namePlace, `${c.name} has no rating either`)),
          ...[...loads].map((one) =>
            related(machine.loads[one]!.namePlace, `${machine.loads[one]!.name}, switched by it`),
          ),
        ]),
      });
    }
  },
};
