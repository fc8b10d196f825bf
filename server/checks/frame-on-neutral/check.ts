/** The frame strapped to the neutral, as old three-wire cords have it. */
import type { Check } from "../check.ts";
import { partName, related, relatedOnce } from "../words.ts";

export const frameOnNeutral: Check = {
  id: "frame-on-neutral",
  gravity: "warning",
  title: "A cabinet that is grounded through the neutral",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    const { jointOf } = engine.circuit;
    const { legs } = machine.supply;
    const neutral = legs.find(({ role }) => role === "neutral");
    if (!neutral) return;
    const joint = jointOf[neutral.terminal]!;
    const parts = machine.parts.filter(({ frame }) => frame !== undefined && jointOf[frame] === joint);
    const first = parts[0];
    if (!first) return;
    const strap = machine.wires.find(
      ({ kind, a, b }) => kind === "strap" && jointOf[a] === joint && jointOf[b] === joint,
    );
    const place = strap?.place ?? first.namePlace;
    const both = legs.some(({ role, terminal }) => role === "protective" && jointOf[terminal] === joint);
    const { reversible, form } = machine.supply;
    // NEC 250.140, from memory: only ranges and dryers on two legs were ever allowed to be made so.
    const never = !both && (reversible || form === "single");
    report({
      gravity: both || never ? "error" : undefined,
      place,
      what: both
        ? `The metal of ${partName(first)} ties the neutral to the ground inside the machine.`
        : `The metal of ${partName(first)} is strapped to the neutral ${neutral.name}.`,
      why: both
        ? "Neutral current then runs through the ground wire and all grounded metal."
        : reversible
          ? "The plug fits both ways round: one way the whole cabinet stands at line volts, with everything switched off."
          : never
            ? "If the neutral is lost anywhere ahead of it, the whole cabinet stands at line volts through every load that is on, and no breaker sees it."
            : "Older three-wire cords were made so; if the neutral is lost, the whole cabinet stands at line volts through every load that is on.",
      advice: both
        ? "Take the strap off: with a ground wire in the cord, the frame goes to the ground only."
        : never
          ? "Take the strap off and bond the frame to the ground. Follow the local code."
          : "Where a four-wire outlet can be had, fit a four-wire cord, take the strap off and bond the frame to the ground. Follow the local code.",
      related: relatedOnce(
        place,
        parts.map((part) => related(part.namePlace, `${part.name}: metal on the neutral`)),
      ),
    });
    yield;
  },
};
