/** A machine without some of its wires, or without a part and all that hangs on it. */
import { type Edit, edit } from "../machine/edit.ts";
import type { Machine, Part, WireId } from "../machine/machine.ts";

export function withoutWires(machine: Machine, wires: readonly WireId[]): Machine {
  // Wires are numbered anew after each.
  const last = [...new Set(wires)].sort((a, b) => b - a);
  return edit(
    machine,
    last.map((wire): Edit => ({ edit: "remove-wire", wire })),
  );
}

/** Its wires go with it, and the guards and programs that it has. */
export function withoutPart(machine: Machine, part: Part): Machine {
  const own = new Set(part.terminals);
  const wires = machine.wires.filter(({ a, b, kind }) => kind !== "internal" && (own.has(a) || own.has(b)));
  const cut = edit(
    withoutWires(
      machine,
      wires.map(({ id }) => id),
    ),
    [{ edit: "remove-part", part: part.id }],
  );
  return {
    ...cut,
    guards: cut.guards.filter((guard) => guard.part !== part.id),
    programs: cut.programs.filter((program) => program.part !== part.id),
  };
}
