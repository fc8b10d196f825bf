/** Points of the text: a leg, a part, a terminal, a contact or a winding of it. Tells what is unknown, with the nearest names. */

import { andList, nearestNames, orList } from "../../grammar/suggest.ts";
import type { NameNode, PointNode } from "../../grammar/tree.ts";
import { type Draft, otherNames, type PartDraft } from "./draft.ts";
import type { ContactId, LoadId, TerminalId } from "./machine.ts";

export type Meant =
  | { readonly type: "terminal"; readonly terminal: TerminalId; readonly part?: PartDraft }
  | { readonly type: "part"; readonly part: PartDraft }
  | { readonly type: "contact"; readonly part: PartDraft; readonly contacts: readonly ContactId[] }
  | { readonly type: "load"; readonly part: PartDraft; readonly load: LoadId };

const otherLegNames: Readonly<Record<string, readonly string[]>> = {
  L: ["L1"],
  L1: ["L"],
  PE: ["G", "GND", "E", "GROUND", "EARTH"],
  N: ["NEUTRAL"],
};

/** The supply leg of that name, its other names included (`G` for PE). */
export function legNamed(draft: Draft, name: string): TerminalId | undefined {
  const own = draft.legNames.get(name);
  if (own !== undefined) return own;
  for (const [leg, others] of Object.entries(otherLegNames)) {
    if (others.includes(name.length > 2 ? name.toUpperCase() : name) && !draft.partNames.has(name)) {
      const id = draft.legNames.get(leg);
      if (id !== undefined) return id;
    }
  }
  return undefined;
}

function tellUnknown(
  draft: Draft,
  id: string,
  node: NameNode,
  file: string,
  what: string,
  near: readonly string[],
  otherwise = "Declare it, or write the name of something that is declared.",
): void {
  const close = [...splitAtStroke(draft, node.text), ...nearestNames(node.text, near)].slice(0, 4);
  draft.find(id, "error", draft.place(node, file), {
    what,
    advice: otherLeg(draft, node.text)
      ? `The points of this supply are ${[...draft.legNames.keys()].join(", ")}. A supply of two live legs, with a neutral or without one in use, is written supply 120/240 V or supply 120/208 V; three phases are not understood.`
      : close.length > 0
        ? `Did you mean ${orList(close)}?`
        : otherwise,
    fixes: close.map((name) => ({
      title: `Change to ${name}`,
      safe: false,
      edits: [{ place: draft.place(node, file), text: name }],
    })),
  });
}

/** `TM-A`, `TM_A`: a part and its terminal joined by another sign than the dot. */
function splitAtStroke(draft: Draft, written: string): string[] {
  const parts = written.split(/[-_]/);
  return parts.length === 2 && draft.partNames.get(parts[0]!)?.terminalNames.has(parts[1]!) ? [parts.join(".")] : [];
}

/** A leg that supplies of another form have. */
function otherLeg(draft: Draft, name: string): boolean {
  return draft.supply.stated && /^L[123]$/.test(name) && draft.legNames.size > 0;
}

export function partNamed(draft: Draft, node: NameNode, file: string): PartDraft | undefined {
  const part = draft.partNames.get(node.text);
  if (!part) {
    tellUnknown(draft, "unknown-part", node, file, `Nothing is called ${node.text}.`, otherNames(draft));
    return undefined;
  }
  draft.mention(draft.place(node, file), { type: "part", part: part.id });
  return part;
}

/** "1 and 2", or, where contacts and windings have names too, "the terminals 1 and 2, the contact run". */
function innerNames(lists: readonly (readonly string[])[]): string {
  const [terminals = [], contacts = [], windings = []] = lists;
  if (contacts.length + windings.length === 0) return andList(terminals);
  const kinds = [
    { one: "the terminal", many: "the terminals", names: terminals },
    { one: "the contact", many: "the contacts", names: contacts },
    { one: "the winding", many: "the windings", names: windings },
  ];
  return andList(
    kinds.flatMap(({ one, many, names }) =>
      names.length > 0 ? [`${names.length === 1 ? one : many} ${andList(names)}`] : [],
    ),
  );
}

/** Terminal, contact or winding of a part by its name behind the dot. */
export function innerNamed(draft: Draft, part: PartDraft, node: NameNode, file: string): Meant | undefined {
  const terminal = part.terminalNames.get(node.text);
  if (terminal !== undefined) {
    draft.mention(draft.place(node, file), { type: "terminal", terminal });
    return { type: "terminal", terminal, part };
  }
  const contacts = part.contactNames.get(node.text);
  if (contacts) {
    draft.mention(draft.place(node, file), { type: "contact", contact: contacts[0]! });
    return { type: "contact", part, contacts };
  }
  const load = part.loadNames.get(node.text);
  if (load !== undefined) {
    draft.mention(draft.place(node, file), { type: "load", load });
    return { type: "load", part, load };
  }
  // A contact without a name of its own is called by its terminals, which are told already.
  const ofEnds = (name: string): boolean => name.split("-").every((end) => part.terminalNames.has(end));
  const named = [...part.contactNames.keys()].filter((name) => !ofEnds(name));
  const inner = [[...part.terminalNames.keys()], named, [...part.loadNames.keys()]];
  const known = inner.flat();
  const what = `${part.name} has no terminal ${node.text}${known.length > 0 ? `; it has ${innerNames(inner)}` : ""}.`;
  const otherwise = known.length > 0 ? "Write one of these, as stamped on the part." : undefined;
  tellUnknown(draft, "unknown-terminal", node, file, what, known, otherwise);
  return undefined;
}

/** What a point means; undefined when it is unknown (told) or not typed yet. */
export function meantBy(draft: Draft, point: PointNode, file: string): Meant | undefined {
  if (!point.part) return undefined;
  if (!point.terminal) {
    const leg = legNamed(draft, point.part.text);
    if (leg !== undefined && !draft.partNames.has(point.part.text)) {
      draft.mention(draft.place(point.part, file), { type: "leg", terminal: leg });
      return { type: "terminal", terminal: leg };
    }
    const part = partNamed(draft, point.part, file);
    if (!part) return undefined;
    if ((part.kind === "splice" || part.kind === "frame") && part.terminals[0] !== undefined) {
      return { type: "terminal", terminal: part.terminals[0], part };
    }
    return { type: "part", part };
  }
  const part = partNamed(draft, point.part, file);
  if (!part) return undefined;
  return innerNamed(draft, part, point.terminal, file);
}

/** Loads that a point names: those of the part, or the one behind the dot. */
export function loadsAt(draft: Draft, point: PointNode, file: string): readonly LoadId[] {
  const meant = meantBy(draft, point, file);
  if (!meant) return [];
  if (meant.type === "load") return [meant.load];
  if (meant.type !== "part") return [];
  meant.part.referred = true;
  return meant.part.loads;
}
