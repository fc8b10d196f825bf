/** A part that is declared and connected to nothing. */
import type { Check } from "../check.ts";
import { wired } from "../loose-end/check.ts";
import { partName } from "../words.ts";

export const unusedPart: Check = {
  id: "unused-part",
  gravity: "warning",
  title: "A part that no wire reaches",
  *run({ engine, machine, report }) {
    const shares = (terminal: number): boolean =>
      engine.circuit.terminalsOf[engine.circuit.jointOf[terminal]!]!.length > 1;
    for (const part of machine.parts) {
      if (part.id === machine.supply.part || part.terminals.length === 0) continue;
      const ends = part.terminals.filter((t) => t !== part.frame);
      if (ends.length === 0 || ends.some((t) => wired(machine, t) && shares(t))) continue;
      if (part.kind === "frame") continue;
      report({
        place: part.namePlace,
        what: `No wire reaches ${partName(part)}.`,
        why: "It takes no part in the circuit, so no check says anything about it.",
        advice: "Wire it as the machine's own sheet shows, or take it out of the text.",
        related: [],
        unused: true,
      });
    }
    yield;
  },
};
