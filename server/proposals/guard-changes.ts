/** Guards that a rewire defeats or mends. */
import type { ShownState } from "../base/finding.ts";
import { anyOf, energised, less, shownIn } from "../checks/ask.ts";
import type { Guard, Machine } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";

export interface GuardChange {
  readonly part: string;
  readonly hazard: string;
  readonly change: "defeated" | "mended";
  readonly state?: ShownState;
}

interface Sides {
  /** A name of the base, or a sentence with names, as the changed machine has it. */
  named(text: string): string;
  /** States of the changed machine that are in `after` and were not in `before`. */
  gained(before: Region, after: Region): Region;
}

export function guardChanges(base: Engine, changed: Engine, { named, gained }: Sides): GuardChange[] {
  const [one, two] = [base.circuit.machine, changed.circuit.machine];
  const inTwo = (text: string, machine: Machine) => (machine === one ? named(text) : text);
  const owner = ({ part }: Guard, machine: Machine) => inTwo(machine.parts[part]!.name, machine);
  const key = (guard: Guard, machine: Machine) => `${owner(guard, machine)} ${inTwo(guard.hazard, machine)}`;
  /** A hazard that is called otherwise now, as that of a replaced part without a label, is known by its part where that has one only. */
  const other = (guard: Guard): Guard | undefined => {
    const same = two.guards.find((each) => key(each, two) === key(guard, one));
    const [only, ...more] = two.guards.filter((each) => owner(each, two) === owner(guard, one));
    const alone = one.guards.filter((each) => owner(each, one) === owner(guard, one)).length === 1;
    return same ?? (alone && more.length === 0 ? only : undefined);
  };
  const open = (engine: Engine, guard: Guard): Region => {
    const on = anyOf(
      engine,
      guard.loads.map((load) => energised(engine, load)),
    );
    const off = less(engine, on, engine.where(guard.holds));
    return guard.only ? engine.and(off, engine.where(guard.only)) : off;
  };
  return one.guards.flatMap((guard): GuardChange[] => {
    const now = other(guard);
    const part = one.parts[guard.part]!.name;
    const what = { part, hazard: guard.hazard || part };
    const before = open(base, guard);
    // A guard that is not written any more is judged in words only: nothing holds the hazard back, unless nothing of the part works any more.
    if (!now) {
      const left = two.parts.find(({ name }) => name === named(part));
      const works = left?.loads.some((id) => !changed.isEmpty(energised(changed, id)));
      return works ? [{ ...what, change: "defeated" }] : [];
    }
    const after = open(changed, now);
    const worse = shownIn(changed, gained(before, after));
    if (worse) return [{ ...what, change: "defeated", state: worse }];
    const better = changed.isEmpty(after) ? shownIn(base, before) : undefined;
    return better ? [{ ...what, change: "mended", state: better }] : [];
  });
}
