/** Controls that only follow: a gas valve's seat opens and shuts, and nothing in the circuit hangs on it. */
import type { Condition, ControlId, Machine } from "./machine.ts";

/** Settled controls that no contact, load or other control follows. */
export function idleControls({ controls, contacts, loads }: Machine): ReadonlySet<ControlId> {
  const idle = new Set<ControlId>();
  for (const { id, settled } of controls) if (settled) idle.add(id);
  if (idle.size === 0) return idle;
  const followed = (condition: Condition | undefined): void => {
    for (const clause of condition ?? []) for (const { control } of clause) idle.delete(control);
  };
  for (const { closed } of contacts) followed(closed);
  for (const { control } of loads) if (control !== undefined) idle.delete(control);
  for (const { changes, rule } of controls) {
    for (const { when } of changes ?? []) followed(when);
    if (rule?.rule !== "latch") continue;
    followed(rule.sets);
    followed(rule.clears);
  }
  return idle;
}
