/** Controls that only follow: a gas valve's seat opens and shuts, and nothing in the circuit hangs on it. */
import type { ControlId, Machine } from "./machine.ts";

/** Settled controls that no contact, load or other control follows. */
export function idleControls({ controls, contacts, loads }: Machine): ReadonlySet<ControlId> {
  const idle = new Set(controls.filter(({ settled }) => settled).map(({ id }) => id));
  const conditions = [
    ...contacts.map(({ closed }) => closed),
    ...controls.flatMap(({ changes = [], rule }) => [
      ...changes.flatMap(({ when }) => (when ? [when] : [])),
      ...(rule?.rule === "latch" ? [rule.sets, rule.clears] : []),
    ]),
  ];
  for (const clause of conditions.flat()) for (const { control } of clause) idle.delete(control);
  for (const { control } of loads) if (control !== undefined) idle.delete(control);
  return idle;
}
