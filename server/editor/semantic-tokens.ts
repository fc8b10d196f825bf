/** Names coloured by what they mean, and by what they are wired to: live, neutral or protective earth through wires alone. */
import type { Mention } from "../machine/machine.ts";
import type { FileView, MachineView } from "./view.ts";

export const tokenTypes = ["variable", "property", "function", "enumMember", "type", "string"] as const;
/** `declaration` where the name is given; the others say which leg of the supply wires alone lead to. */
export const tokenModifiers = ["declaration", "live", "neutral", "protective"] as const;

export interface SemanticToken {
  readonly from: number;
  readonly to: number;
  readonly type: (typeof tokenTypes)[number];
  readonly modifiers: readonly (typeof tokenModifiers)[number][];
}

/** In text order, none across a line break, none over another. */
export function semanticTokens(view: FileView, from = 0, to = view.text.length): SemanticToken[] {
  const found: SemanticToken[] = [];
  for (const machine of view.machines) {
    const legs = legsByJoint(machine);
    for (const mention of machine.machine.mentions) {
      const { place } = mention;
      if (place.file !== view.file || place.to <= from || place.from >= to || place.from === place.to) continue;
      if (view.text.slice(place.from, place.to).includes("\n")) continue;
      found.push(tokenOf(mention, machine, legs));
    }
  }
  return apart(view.text, found);
}

function tokenOf(
  { place, target, defines }: Mention,
  { machine, circuit }: MachineView,
  legs: ReadonlyMap<number, Role>,
): SemanticToken {
  const base = { from: place.from, to: place.to };
  const declaration = defines ? (["declaration"] as const) : [];
  switch (target.type) {
    case "terminal":
    case "leg": {
      const role = legs.get(circuit.jointOf[target.terminal] ?? -1);
      return { ...base, type: "property", modifiers: [...declaration, ...(role ? [role] : [])] };
    }
    case "contact":
      return { ...base, type: "function", modifiers: declaration };
    case "position":
    case "group":
      return { ...base, type: "enumMember", modifiers: declaration };
    case "type":
      return { ...base, type: "type", modifiers: declaration };
    case "file":
      return { ...base, type: "string", modifiers: declaration };
    case "part": {
      // A part with one connection (a frame, a splice) is that connection.
      const part = machine.parts[target.part];
      const role = part?.terminals.length === 1 ? legs.get(circuit.jointOf[part.terminals[0]!] ?? -1) : undefined;
      return { ...base, type: "variable", modifiers: [...declaration, ...(role ? [role] : [])] };
    }
    default:
      return { ...base, type: "variable", modifiers: declaration };
  }
}

type Role = "live" | "neutral" | "protective";

function legsByJoint({ machine, circuit }: MachineView): ReadonlyMap<number, Role> {
  return new Map(machine.supply.legs.map(({ terminal, role }) => [circuit.jointOf[terminal]!, role]));
}

/** The smaller of two that overlap keeps its place; of the larger what is left behind it, the dot left out. */
function apart(text: string, tokens: readonly SemanticToken[]): SemanticToken[] {
  const sorted = [...tokens].sort((a, b) => a.from - b.from || a.to - b.to);
  const kept: SemanticToken[] = [];
  for (const token of sorted) {
    const last = kept.at(-1);
    let { from } = token;
    if (last && from < last.to) {
      from = last.to;
      if (text[from] === ".") from++;
    }
    if (from < token.to) kept.push({ ...token, from });
  }
  return kept;
}
