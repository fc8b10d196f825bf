/** Single changes of one control, for checks of what happens between two states at rest. */
import type { Condition, Contact, ContactId, ControlId, LoadTest, Machine } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";
import { anyOf, less, position } from "./ask.ts";

/** States in which the control stands in `from` and may be moved to `to` by one change. */
export function movable(engine: Engine, control: ControlId, from: number, to: number): Region {
  const { machine } = engine.circuit;
  const { changes, positions } = machine.controls[control]!;
  const here = engine.where([[{ control, positions: position(machine, control, from) }]]);
  if (changes === undefined || engine.isEmpty(here)) return here;
  const rules = changes.filter(
    (rule) =>
      rule.from[from] === 1 &&
      rule.to[to] === 1 &&
      (rule.by === undefined || to === (from + rule.by + positions.length) % positions.length),
  );
  return anyOf(
    engine,
    rules.map((rule) => {
      let may = rule.when ? engine.and(here, engine.where(rule.when)) : here;
      if (rule.needs)
        may = engine.and(
          may,
          anyOf(
            engine,
            rule.needs.map((tests) => tests.map(passing).reduce((a, b) => engine.and(a, b), engine.all())),
          ),
        );
      return less(engine, may, anyOf(engine, (rule.unless ?? []).map(passing)));
    }),
  );

  function passing({ load, atLeast }: LoadTest): Region {
    return engine.when(load, atLeast === "works" ? ["works", "over"] : ["weak", "works", "over"]);
  }
}

/** The condition as it will be once the control stands in `at`, all else as it is. */
export function oncePlaced(condition: Condition, control: ControlId, at: number): Condition {
  return condition
    .filter((clause) => clause.every((literal) => literal.control !== control || literal.positions[at] === 1))
    .map((clause) => clause.filter((literal) => literal.control !== control));
}

/** A contact while one control moves: states (of those before) in which it was closed, and in which it will be. */
export interface MovingContact {
  readonly contact: Contact;
  readonly before: Region;
  readonly after: Region;
}

/** Every contact, seen from the states before the change. */
export function contactsMoving(engine: Engine, control: ControlId, to: number): MovingContact[] {
  return engine.circuit.machine.contacts.map((contact) => {
    const before = engine.closed(contact.id);
    const moves = contact.closed.some((clause) => clause.some((literal) => literal.control === control));
    return { contact, before, after: moves ? engine.where(oncePlaced(contact.closed, control, to)) : before };
  });
}

/** Pairs of changeover partners of one machine, each once. */
export function changeovers(machine: Machine): [ContactId, ContactId][] {
  return machine.contacts.flatMap(({ id, partner }): [ContactId, ContactId][] =>
    partner !== undefined && (id < partner || machine.contacts[partner]!.partner !== id) ? [[id, partner]] : [],
  );
}
