/** Exposed metal that no bond ties to the protective earth. */
import type { Check } from "../check.ts";
import { partName, related } from "../words.ts";

export const unbondedMetal: Check = {
  id: "unbonded-metal",
  gravity: "error",
  title: "Exposed metal without a bond to ground",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    const { jointOf } = engine.circuit;
    const { legs } = machine.supply;
    const earth = legs.filter(({ role }) => role === "protective").map(({ terminal }) => jointOf[terminal]!);
    const neutral = legs.filter(({ role }) => role === "neutral").map(({ terminal }) => jointOf[terminal]!);
    const told = new Set<number>();
    for (const part of machine.parts) {
      if (part.frame === undefined) continue;
      const joint = jointOf[part.frame]!;
      if (earth.includes(joint) || told.has(joint)) continue;
      told.add(joint);
      // Strapped to the neutral: frame-on-neutral tells it.
      if (neutral.includes(joint)) continue;
      const frame = machine.terminals[part.frame]!;
      report({
        place: part.namePlace,
        what: `The exposed metal of ${partName(part)} is not bonded to ground.`,
        why: "One chafed wire or one leaking heater puts it at full line volts, and nothing trips.",
        advice:
          earth.length > 0
            ? `Bond it: bond ${frame.fullName} to ${legs.find(({ role }) => role === "protective")!.name}.`
            : "Give the supply a ground (PE) and bond the metal to it; without one, the machine must be built with double insulation.",
        related: [related(machine.supply.place, "the supply that gives the ground")],
      });
    }
    yield;
  },
};
