/** Parts that only join: splices, connectors, frames. */
import type { Draft, PartDraft } from "./draft.ts";
import { declare } from "./electrical.ts";

/** A splice or a cabinet is one point, called by the part's bare name. */
export function buildPoint(draft: Draft, part: PartDraft): void {
  const terminal = draft.addTerminal(part, part.name, part.namePlace, part.name);
  if (part.kind === "frame") part.frame = terminal;
}

export function buildConnector(draft: Draft, part: PartDraft): void {
  for (const { node, file } of part.items) {
    if (node.item === "pins") for (const name of node.names) declare(draft, part, name, file);
  }
  if (part.terminals.length === 0) draft.addTerminal(part, "1", part.namePlace);
}

/** `frame` gives exposed metal of its own; `on CAB` joins it with that frame. */
export function buildFrames(draft: Draft, part: PartDraft): void {
  for (const { node, file } of part.items) {
    if (node.item !== "frame") continue;
    const on = node.on;
    if (part.frame === undefined) part.frame = draft.addTerminal(part, "frame", draft.place(node, file));
    const own = part.frame;
    if (!on) continue;
    draft.later(() => {
      const other = draft.partNames.get(on.text);
      if (other && other.frame !== undefined) {
        draft.mention(draft.place(on, file), { type: "part", part: other.id });
        other.referred = true;
        draft.addWire({ a: own, b: other.frame, kind: "internal", place: draft.place(node, file) });
        return;
      }
      draft.find(other ? "wrong-kind" : "unknown-part", "error", draft.place(on, file), {
        what: other ? `${on.text} is no frame.` : `Nothing is called ${on.text}.`,
        why: "It is not known what this metal is joined with, so it counts as not bonded.",
        advice: other
          ? `Name a frame, or give ${on.text} a frame of its own by the word frame in its block.`
          : `Declare it, as in: frame ${on.text} "cabinet".`,
      });
    });
  }
}
