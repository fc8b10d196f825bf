/** Parts that nothing reaches. */
import type { Draft, PartDraft } from "./draft.ts";

/** A part none of whose terminals is on a wire; parts without terminals count when some condition names them. */
export function tellUnused(draft: Draft): void {
  const wired = new Uint8Array(draft.terminals.length);
  for (const wire of draft.wires) {
    wired[wire.a] = 1;
    wired[wire.b] = 1;
  }
  for (const part of draft.parts) {
    // A frame with no wire on it has no bond either: unbonded-metal tells that, and what to do.
    if (part.kind === "frame") continue;
    // Bolted to a cabinet or bonded is not fed: metal counts only for parts that are nothing but metal.
    const working = part.contacts.length > 0 || part.loads.length > 0;
    const reached = part.terminals.some((id) => wired[id] === 1 && !(working && id === part.frame));
    if (part.kind === "supply" || reached) continue;
    if (part.terminals.length === 0 && part.referred) continue;
    // A shaft or lever that only other parts' conditions ask about is used, though no wire ends on it.
    if (!working && part.referred) continue;
    if (isLever(draft, part)) continue;
    const { lostWire } = part;
    draft.find("unused-part", lostWire ? "information" : "warning", part.namePlace, {
      what: lostWire
        ? `${part.name} is not in the circuit yet: the wire that names it is not understood.`
        : `No wire ends on ${part.name}.`,
      why: "It is in the text but not in the circuit, so nothing is checked about it.",
      advice: lostWire ? "Mend that wire first." : "Wire it, or take it out.",
      related: lostWire ? [{ place: lostWire, text: "the wire" }] : [],
      unused: true,
    });
  }
}

/** A push button that lets something else be moved, as a coin slide does: its one contact comes with the kind, and needs no wire. */
function isLever({ controls }: Draft, part: PartDraft): boolean {
  if (part.kind !== "push" || part.items.some(({ node }) => node.item === "contact")) return false;
  const own = new Set(part.controls);
  return controls.some(({ changes = [] }) =>
    changes.some(({ when = [] }) => when.some((clause) => clause.some(({ control }) => own.has(control)))),
  );
}
