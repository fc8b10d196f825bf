/**
 * Thermal parts at one place feel one temperature: what opens at 121 °C cannot open before its neighbour that opens at
 * 68 °C has, and on cooling the one that closes at the higher temperature closes first. Rules that such an order forbids are narrowed.
 */
import { andConditions, literalCondition, maskOf } from "./condition-algebra.ts";
import { thermalRest } from "./controls.ts";
import type { Draft, PartDraft, SeatedThermal } from "./draft.ts";
import type { ChangeRule, ControlId } from "./machine.ts";
import type { ThermalFacts } from "./thermal-facts.ts";

const closed = 0;
const open = 1;

/** Notes where the control sits, and once all are known narrows its rules. Adjustable ones order nothing. */
export function orderByPlace(draft: Draft, part: PartDraft, control: ControlId, facts: ThermalFacts): void {
  const { opensAt, closesAt, resets } = facts.contact;
  if (part.at === undefined || opensAt === undefined || resets === undefined) return;
  const { rest, byHeat } = thermalRest(facts.plan);
  if (!byHeat || rest !== closed || facts.plan.byHand || facts.plan.opens?.upper !== undefined) return;
  const seated: SeatedThermal = { control, opensAt, closesAt, resets };
  const group = draft.thermalPlaces.get(part.at) ?? [];
  group.push(seated);
  draft.thermalPlaces.set(part.at, group);
  draft.later(() => {
    for (const other of group) if (other !== seated) narrow(draft, seated, other);
  }, 2);
}

function narrow(draft: Draft, own: SeatedThermal, other: SeatedThermal): void {
  if (other.opensAt < own.opensAt) addWhen(draft, own.control, closed, other.control, open);
  const closesFirst =
    other.resets === "self" &&
    own.closesAt !== undefined &&
    other.closesAt !== undefined &&
    other.closesAt > own.closesAt;
  if (closesFirst && other.opensAt >= own.opensAt) addWhen(draft, own.control, open, other.control, closed);
}

/** Rules of `control` that leave position `from` want `other` to stand in `position`. */
function addWhen(draft: Draft, control: ControlId, from: number, other: ControlId, position: number): void {
  const target = draft.controls[control]!;
  const wanted = literalCondition(other, maskOf(2, [position]));
  target.changes = target.changes?.map(
    (rule): ChangeRule =>
      rule.from[from] === 1 && !rule.byHand
        ? { ...rule, when: rule.when ? andConditions(rule.when, wanted) : wanted }
        : rule,
  );
}
