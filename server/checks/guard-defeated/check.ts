/** A guarded load that is energised while its guard does not hold. */
import { describeCondition } from "../../machine/describe.ts";
import type { Guard, Machine } from "../../machine/machine.ts";
import { anyOf, energised, seriesContacts, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, list, loadName, related, relatedOnce, verb } from "../words.ts";

export const guardDefeated: Check = {
  id: "guard-defeated",
  gravity: "error",
  title: "A guarded load that works with its guard open",
  *run({ engine, machine, report }) {
    for (const guard of machine.guards) {
      yield;
      const open = engine.not(engine.where(guard.holds));
      const care = guard.only ? engine.and(open, engine.where(guard.only)) : open;
      const loads = guard.loads.filter((id) => !engine.isEmpty(engine.and(energised(engine, id), care)));
      const state = engine.witness(
        engine.and(
          anyOf(
            engine,
            loads.map((id) => energised(engine, id)),
          ),
          care,
        ),
      );
      if (!state) continue;
      const here = loads.filter((id) => engine.has(energised(engine, id), state));
      const feeding = here.flatMap((id) => seriesContacts(engine, id, state));
      const guards = guardContacts();
      const names = list(here.map((id) => loadName(machine, id)));
      const { what, why, until } = isWater(machine, guard)
        ? {
            what: `${names} can heat without water: the level that guards it, ${describeCondition(machine, guard.holds)}, does not hold.`,
            why: "A heater without water round it burns out within minutes, and can set fire to what is near it.",
            until: "do not run the machine until that is so",
          }
        : {
            what: `${names} can work while the guard does not hold, so ${hazardOf(machine, guard)} is a danger to whoever reaches in.`,
            why: "The guard is there to keep people from moving, hot or wet parts; here the power finds a way round it.",
            until: "do not run the machine with the guard open",
          };
      report({
        place: guard.place,
        what,
        why,
        advice:
          guards.length > 0
            ? `See that ${list(guards.map((id) => contactName(machine, id)))} ${verb(guards.length, "is", "are")} in series with every way to ${list(here.map((id) => machine.loads[id]!.name))}, and ${until}.`
            : `Wire a contact of the guard in series with every way to the load, and ${until}.`,
        state: shown(
          engine,
          state,
          guard.holds.flatMap((clause) => clause.map(({ control }) => control)),
        ),
        related: relatedOnce(guard.place, [
          ...guards.map((id) => related(machine.contacts[id]!.namePlace, "the guard's own contact")),
          ...[...new Set(feeding)].map((id) =>
            related(machine.contacts[id]!.namePlace, `${machine.contacts[id]!.name} feeds it in this state`),
          ),
        ]),
      });

      /** Those of its own contacts that are never closed while it does not hold. */
      function guardContacts(): number[] {
        const controls = new Set(guard.holds.flatMap((clause) => clause.map(({ control }) => control)));
        return machine.contacts
          .filter(({ closed }) => closed.some((clause) => clause.some(({ control }) => controls.has(control))))
          .filter(({ part: owner }) => machine.controls.some((c) => controls.has(c.id) && c.part === owner))
          .map(({ id }) => id)
          .filter((id) => engine.isEmpty(engine.and(engine.closed(id), open)));
      }
    }
  },
};

function hazardOf(machine: Machine, { hazard, part: id }: Guard): string {
  const part = machine.parts[id]!;
  return hazard || part.label || part.name;
}

/** A heater that only water may be round: what its guard keeps off is a dry coil, not a hand. */
function isWater(machine: Machine, { holds, loads }: Guard): boolean {
  return (
    loads.every((id) => machine.loads[id]!.kind === "heater") &&
    holds.every((clause) => clause.every(({ control }) => machine.controls[control]!.role === "level"))
  );
}
