/** The control that a switching part is: its positions, written or met in one-liners, and where it rests. */
import type { ContactItem, NameNode, PositionNode } from "../../grammar/tree.ts";
import { notePosition } from "./binding.ts";
import { maskOf } from "./condition-algebra.ts";
import { heatRules } from "./controls.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import type { ChangeRule, ControlId, ControlRole, LoadId } from "./machine.ts";
import { loadsAt } from "./points.ts";
import { namesOfProperty, pointsOf, propertyNamed } from "./properties.ts";

export const controlRoles: Readonly<Record<string, ControlRole>> = {
  timer: "timer",
  selector: "selector",
  control: "selector",
  board: "board",
  level: "level",
  push: "push",
};

/** Positions that stand against one another, so that naming one of them names the other. */
const opposites: Readonly<Record<string, string>> = {
  on: "off",
  off: "on",
  shut: "open",
  open: "shut",
  closed: "open",
  pressed: "released",
  released: "pressed",
  full: "empty",
  empty: "full",
  locked: "unlocked",
  unlocked: "locked",
  cold: "hot",
  hot: "cold",
};

/** Undefined for parts without positions of their own. `thermal`: heat opens and closes it. */
export function mainControl(
  draft: Draft,
  part: PartDraft,
  contacts: readonly InFile<ContactItem>[],
  feeds: { readonly loads: readonly LoadId[] },
  thermal: boolean,
): ControlId | undefined {
  const written = writtenPositions(part);
  const nodes = written?.names ?? inferredPositions(contacts);
  const warmed = propertyNamed(part.items, "warmed by");
  let names = nodes.map((node) => node.text);
  if (part.kind === "push" && names.length === 0) names = ["released", "pressed"];
  if (part.kind === "relay" || names.length === 0) return undefined;
  // `in closed, else 4` of a thermostat speaks of what its heat does.
  const typed = nodes.filter(({ from, to }) => to > from);
  if (thermal && !written && typed.every(({ text }) => text === "closed" || text === "open")) return undefined;
  if (!written && part.kind === "push") names = orderedPair(names, ["released", "pressed"]);
  const heat = isHeatPair(names) && (warmed !== undefined || part.kind === "sensor" || part.kind === "lock");
  if (heat && !written) names = ["cold", "hot"];
  const seen = new Set<string>();
  const positions = names.flatMap((name) => {
    if (seen.has(name)) return [];
    seen.add(name);
    const node = nodes.find((each) => each.text === name);
    return [{ name, ...(node ? { place: draft.place(node, written?.file ?? contacts[0]?.file) } : {}) }];
  });
  const role: ControlRole = heat ? "heat-memory" : (controlRoles[part.kind] ?? "switch");
  const rest = restOf(draft, part, positions, written !== undefined);
  const control = draft.addControl(part, {
    name: part.name,
    role,
    positions,
    rest,
    settled: false,
    place: part.namePlace,
  });
  if (written) {
    for (const node of written.names) {
      const index = positions.findIndex((position) => position.name === node.text);
      notePosition(draft, written.file, node, draft.controls[control]!, maskOf(positions.length, [index]), true);
    }
  }
  if (heat) bindHeat(draft, part, control, warmed, feeds.loads);
  return control;
}

function writtenPositions(part: PartDraft): { names: readonly NameNode[]; file: string } | undefined {
  for (const { node, file } of part.items) {
    if (node.item === "positions" && node.word !== "set" && node.names.length > 0) return { names: node.names, file };
  }
  return undefined;
}

/** Positions of a one-liner in the order they are named; a lone one brings its opposite. */
function inferredPositions(contacts: readonly InFile<ContactItem>[]): NameNode[] {
  const names: NameNode[] = [];
  const add = (nodes: readonly PositionNode[] | undefined) => {
    for (const node of nodes ?? []) {
      const name: NameNode | undefined =
        node.name ??
        (node.first === undefined ? undefined : { text: String(node.first), from: node.from, to: node.to });
      if (name && !names.some((each) => each.text === name.text)) names.push(name);
    }
  };
  for (const { node } of contacts) {
    add(node.positions);
    add(node.openPositions);
  }
  if (names.length === 1) {
    const opposite = opposites[names[0]!.text] ?? `not ${names[0]!.text}`;
    names.push({ text: opposite, from: names[0]!.from, to: names[0]!.from });
  }
  return names;
}

function orderedPair(names: string[], order: readonly string[]): string[] {
  return names.length === 2 && names.every((name) => order.includes(name)) ? [...order] : names;
}

function isHeatPair(names: readonly string[]): boolean {
  return names.length === 2 && names.includes("cold") && names.includes("hot");
}

/** `rests in` wins; the first of a written list; of positions met in one-liners, off or released, else the first. */
function restOf(draft: Draft, part: PartDraft, positions: readonly { name: string }[], written: boolean): number {
  const rests = propertyNamed(part.items, "rests in");
  const name = namesOfProperty(rests?.node)[0];
  if (rests && name) {
    const index = positions.findIndex((position) => position.name === name.text);
    if (index >= 0) return index;
    draft.find("unknown-position", "error", draft.place(name, rests.file), {
      what: `${part.name} has no position ${name.text}.`,
      advice: "Write one of its positions.",
    });
  }
  if (written) return 0;
  const calm = positions.findIndex(({ name: each }) => each === "off" || each === "released" || each === "cold");
  return Math.max(0, calm);
}

function bindHeat(
  draft: Draft,
  part: PartDraft,
  control: ControlId,
  warmed: ReturnType<typeof propertyNamed>,
  feeds: readonly LoadId[],
): void {
  draft.later(() => {
    const loads = warmed ? pointsOf(warmed.node).flatMap((point) => loadsAt(draft, point, warmed.file)) : feeds;
    const rules = heatRules(part.name, loads, "works");
    const coldFirst = draft.controls[control]!.positions[0]!.name === "cold";
    draft.controls[control]!.changes = coldFirst
      ? rules
      : rules.map((rule): ChangeRule => ({ ...rule, from: rule.to, to: rule.from }));
  }, 1);
}
