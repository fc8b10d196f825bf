/** Guards: hazards that must be off unless something holds. */
import type { GuardNode } from "../../grammar/tree.ts";
import { resolveOwn } from "./binding.ts";
import { literalCondition, maskOf } from "./condition-algebra.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { Condition, LoadId } from "./machine.ts";

export function addGuards(draft: Draft): void {
  for (const part of draft.parts) {
    for (const { node, file } of part.items) {
      if (node.item === "guarded") add(draft, part, node.guard, file, part.label ?? part.name, undefined);
      if (node.item === "moves" && node.guard) {
        add(draft, part, node.guard, file, node.label?.text ?? part.label ?? part.name, node.turning?.text);
      }
    }
  }
}

function add(
  draft: Draft,
  part: PartDraft,
  guard: GuardNode,
  file: string,
  hazard: string,
  turning: string | undefined,
): void {
  draft.guards.push({
    part: part.id,
    loads: hazardLoads(draft, part),
    only: turning === undefined ? undefined : turns(draft, part, turning),
    hazard,
    holds: resolveOwn(draft, part, guard.condition, file),
    place: draft.place(guard, file),
  });
}

/** What makes the hazard: the main windings of a motor, else every load of the part. */
function hazardLoads(draft: Draft, part: PartDraft): LoadId[] {
  const mains = part.loads.filter((id) => draft.loads[id]!.kind === "winding");
  return mains.length > 0 ? mains : [...part.loads];
}

/** Turning that way; a motor that is not told apart by direction turns as it turns. */
function turns(draft: Draft, part: PartDraft, turning: string): Condition | undefined {
  const control = part.controls.map((id) => draft.controls[id]!).find((each) => each.role === "motor");
  const index = control?.positions.findIndex((position) => position.name === `running ${turning}`) ?? -1;
  return control && index >= 0 ? literalCondition(control.id, maskOf(control.positions.length, [index])) : undefined;
}
