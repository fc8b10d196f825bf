/** A door or lid that is called so and said to guard nothing, while what moves or heats works through its switch. */
import type { Control, Machine, Part } from "../../machine/machine.ts";
import { energised, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { isCalledGuard, mayHurt } from "../hazards.ts";
import { list, loadName, partName, related, relatedOnce, verb } from "../words.ts";

export const guardNotWritten: Check = {
  id: "guard-not-written",
  gravity: "information",
  title: "A door or lid that is not said to guard anything",
  *run({ engine, machine, report }) {
    for (const part of machine.parts) {
      if (!isCalledGuard(part) || isGuard(machine, part)) continue;
      yield;
      const held = machine.loads.filter(
        (load) =>
          mayHurt(machine, load) && part.contacts.some((contact) => !engine.isEmpty(engine.inSeries(contact, load.id))),
      );
      const [first] = held;
      if (!first) continue;
      const state = engine.witness(energised(engine, first.id));
      const control = machine.controls.find((each) => each.part === part.id);
      // A door rests shut; a lock holds where its contacts are closed.
      const position = control?.positions.find(
        (_, at) => part.kind !== "lock" || locks(machine, part, control, at),
      )?.name;
      report({
        place: part.namePlace,
        what: `${partName(part)} is called a guard by its name, and nothing says what it guards: ${list(held.map(({ id }) => loadName(machine, id)))} ${verb(held.length, "works", "work")} through it.`,
        why: "Without that nobody is told when they can work with it open, neither here nor when a lead across it is tried out.",
        advice: `Say it at what must stand still or stay cold, as in: guarded by ${part.name}${position === undefined ? "" : ` in ${position}`}. If it keeps nobody from anything, silence this with the reason.`,
        ...(state && { state: shown(engine, state) }),
        related: relatedOnce(
          part.namePlace,
          held.map(({ id, namePlace }) => related(namePlace, `${loadName(machine, id)} works through it`)),
        ),
      });
    }
  },
};

/** True for a position of a lock in which a contact of its own is closed. */
function locks({ contacts }: Machine, part: Part, { id }: Control, at: number): boolean {
  return part.contacts.some((contact) =>
    contacts[contact]!.closed.some((clause) =>
      clause.some(({ control, positions }) => control === id && positions[at]),
    ),
  );
}

function isGuard({ guards, controls }: Machine, { id }: Part): boolean {
  return guards.some(({ holds, only = [] }) =>
    [...holds, ...only].some((clause) => clause.some(({ control }) => controls[control]!.part === id)),
  );
}
