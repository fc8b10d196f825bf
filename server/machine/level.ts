/** Level switches: the knob, the memory of one that resets at a level of its own, and what raises and lowers the water. */
import type { NameNode } from "../../grammar/tree.ts";
import { literalCondition, maskOf, orConditions } from "./condition-algebra.ts";
import { handRule, levelRules } from "./controls.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { Condition, ControlId, LoadId } from "./machine.ts";
import { loadsAt } from "./points.ts";
import { namesOfProperty, pointsOf, propertiesNamed, propertyNamed } from "./properties.ts";

/** The knob of a level switch, and its memory when it resets at a level of its own. */
export function buildKnob(draft: Draft, part: PartDraft, water: ControlId | undefined): void {
  let knob: ControlId | undefined;
  for (const { node, file } of part.items) {
    if (node.item !== "positions" || node.word !== "set" || node.names.length === 0) continue;
    knob = draft.addControl(part, {
      name: `${part.name}.set`,
      role: "level-setting",
      positions: node.names.map((name) => ({ name: name.text, place: draft.place(name, file) })),
      rest: 0,
      settled: false,
      changes: [handRule(`set ${part.name} to {position}`, node.names.length)],
      place: draft.place(node, file),
    });
    tellForeignSettings(draft, part, water, node.names, file);
  }
  const resets = propertyNamed(part.items, "resets");
  if (water === undefined || !resets) return;
  const levels = draft.controls[water]!.positions.map((position) => position.name);
  const named = namesOfProperty(resets.node)[0];
  const low = named ? levels.indexOf(named.text) : -1;
  if (named && low < 0) {
    draft.find("unknown-position", "error", draft.place(named, resets.file), {
      what: `${part.name} has no water level ${named.text}.`,
      advice: "Write one of the levels of its water line.",
    });
  }
  if (low < 0 || knob === undefined) return;
  const settings = draft.controls[knob]!.positions;
  const sets = orConditions(
    ...settings.map((setting, index): Condition => {
      const level = levels.indexOf(setting.name);
      const water0 = maskOf(
        levels.length,
        levels.flatMap((_, i) => (level >= 0 && i >= level && i > low ? [i] : [])),
      );
      if (!water0.includes(1)) return [];
      return [
        [
          { control: knob!, positions: maskOf(settings.length, [index]) },
          { control: water, positions: water0 },
        ],
      ];
    }),
  );
  draft.addControl(part, {
    name: `${part.name}.trip`,
    role: "trip",
    positions: [{ name: "reset" }, { name: "tripped" }],
    rest: 0,
    settled: true,
    rule: {
      rule: "latch",
      sets,
      clears: literalCondition(
        water,
        maskOf(
          levels.length,
          levels.flatMap((_, i) => (i <= low ? [i] : [])),
        ),
      ),
    },
    place: draft.place(resets.node, resets.file),
  });
}

function tellForeignSettings(
  draft: Draft,
  part: PartDraft,
  water: ControlId | undefined,
  names: readonly NameNode[],
  file: string,
): void {
  const levels = water === undefined ? [] : draft.controls[water]!.positions.map((position) => position.name);
  for (const name of names) {
    if (levels.includes(name.text)) continue;
    draft.find("unknown-position", "error", draft.place(name, file), {
      what: `${part.name} has no water level ${name.text} for this setting to trip at.`,
      advice:
        levels.length > 0 ? `Its levels are ${levels.join(", ")}.` : "Write its levels, as in: water empty low high.",
    });
  }
}

/** The rules of the water: one level at a time, by valves and pumps or by hand. */
export function bindWater(draft: Draft, part: PartDraft, water: ControlId): void {
  draft.later(() => {
    const control = draft.controls[water]!;
    const fillers = namedOrUsual(draft, part, "filled by", "valve");
    const emptiers = namedOrUsual(draft, part, "emptied by", "pump");
    control.changes = levelRules(part.name, control.positions.length, fillers, emptiers);
  }, 1);
}

function namedOrUsual(draft: Draft, part: PartDraft, word: string, kind: string): LoadId[] {
  const named = propertiesNamed(part.items, word);
  if (named.length > 0) {
    return named.flatMap(({ node, file }) => pointsOf(node).flatMap((point) => loadsAt(draft, point, file)));
  }
  return draft.parts
    .filter((other) => other.kind === kind && !other.items.some(({ node }) => node.item === "seat" || isGas(node)))
    .flatMap((other) => other.loads);
}

function isGas(node: { readonly item: string; readonly word?: string }): boolean {
  return node.item === "property" && node.word === "gas";
}
