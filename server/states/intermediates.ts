/** Contacts of one change moving one after the other: MEANING.md, "Contacts of one change". */
import { conditionHolds } from "../circuit/condition.ts";
import type { ContactId, Machine, MachineState } from "../machine/machine.ts";

/** Some of the contacts that a change moves have moved already, the rest still stand as before. */
export interface Intermediate {
  readonly opened: readonly ContactId[];
  readonly closed: readonly ContactId[];
}

/**
 * Every set of contacts that may have moved already on the way from `before` to `after`, without the empty and the full one.
 * A changeover breaks before it makes: the closing partner has not moved unless the opening one has.
 * Two to the power of the contacts that move: made as asked for, so that the caller can stop.
 */
export function* intermediates(machine: Machine, before: MachineState, after: MachineState): Generator<Intermediate> {
  const moving = machine.contacts.flatMap((contact) => {
    const closes = conditionHolds(contact.closed, after);
    return closes === conditionHolds(contact.closed, before) ? [] : [{ contact, closes }];
  });
  const isMoving = new Set(moving.map(({ contact }) => contact.id));

  function* choose(index: number, moved: ReadonlySet<ContactId>): Generator<Intermediate> {
    if (index < moving.length) {
      yield* choose(index + 1, moved);
      yield* choose(index + 1, new Set(moved).add(moving[index]!.contact.id));
      return;
    }
    if (moved.size === 0 || moved.size === moving.length) return;
    for (const { contact, closes } of moving) {
      const partner = contact.partner;
      if (closes && moved.has(contact.id) && partner !== undefined && isMoving.has(partner) && !moved.has(partner))
        return;
    }
    const ids = (closing: boolean): ContactId[] =>
      moving.flatMap(({ contact, closes }) => (closes === closing && moved.has(contact.id) ? [contact.id] : []));
    yield { opened: ids(false), closed: ids(true) };
  }
  yield* choose(0, new Set());
}
