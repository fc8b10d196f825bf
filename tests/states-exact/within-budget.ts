/** What holds of an engine that ran out of budget: each answer equals the plain walk's, or is on the cautious side and said to be open. */
import type { MachineState } from "../../server/machine/machine.ts";
import type { Engine } from "../../server/states/engine.ts";
import { CLASSES, differ, near, quantitiesOf, same } from "./compare.ts";

/** Throws at the first answer that is neither right nor said to be open. Returns how many of the answers were said to be open. */
export function compareWithinBudget(plain: Engine, exact: Engine, states: readonly MachineState[]): number {
  const { machine } = plain.circuit;
  const { complete, missing } = exact.covered();
  if (complete !== (missing.length === 0)) differ("complete", missing);
  if (missing.some((words) => !/[a-z]{3}/.test(words))) differ("no words", missing);
  const said = missing.join("; ");
  // Loads that decide where controls go are open: then no state is sure to be reachable or not, and that is said.
  const sure = !/reached/.test(said);
  const isNamed = (name: string): boolean => missing.some((words) => words.split(/[:,] ?/).includes(name));
  let open = 0;
  for (const quantity of quantitiesOf(machine)) {
    const told = exact.extreme(quantity, exact.all());
    const truth = plain.extreme(quantity, plain.all());
    if (!told.exact) {
      if (truth.exact) open++;
      if (told.bound !== undefined && (truth.largest?.value ?? 0) > told.bound + 1e-6 * Math.max(1, told.bound))
        differ("beyond the bound", { quantity, told, truth });
    } else if (
      !sure ||
      !near(told.smallest?.value, truth.smallest?.value) ||
      !near(told.largest?.value, truth.largest?.value)
    )
      differ("called exact", { quantity, told, truth });
  }
  if (!sure) return open + machine.loads.length;
  same(plain, exact, states, "all", plain.all(), exact.all());
  const reachable = states.filter((state) => plain.has(plain.all(), state));
  same(plain, exact, states, "shorted", plain.shorted(), exact.shorted());
  for (const { id, name } of machine.contacts)
    same(plain, exact, reachable, `closed ${name}`, plain.closed(id), exact.closed(id));
  for (const { id, name } of machine.loads) {
    if (!isNamed(name)) {
      for (const one of CLASSES)
        same(plain, exact, reachable, `${name} ${one}`, plain.when(id, [one]), exact.when(id, [one]));
      for (const contact of machine.contacts)
        same(
          plain,
          exact,
          reachable,
          `${contact.name} in series with ${name}`,
          plain.inSeries(contact.id, id),
          exact.inSeries(contact.id, id),
        );
      continue;
    }
    open++;
    // Never off while it is not, and no protection claimed that is none.
    const fed = [plain.not(plain.when(id, ["off"])), exact.not(exact.when(id, ["off"]))] as const;
    for (const state of reachable) {
      if (!plain.has(fed[0], state)) continue;
      if (!exact.has(fed[1], state)) differ(`${name} called off`, [...state]);
      for (const contact of machine.contacts)
        if (exact.has(exact.inSeries(contact.id, id), state) && !plain.has(plain.inSeries(contact.id, id), state))
          differ(`${contact.name} claimed in series with ${name}`, [...state]);
    }
  }
  return open;
}
