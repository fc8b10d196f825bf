/** A position that the machine can never be in. */
import type { Place } from "../../base/place.ts";
import { coversAll, positionsIn } from "../ask.ts";
import type { Check } from "../check.ts";
import { controlName, list, related, relatedOnce } from "../words.ts";

export const stepUnreachable: Check = {
  id: "step-unreachable",
  gravity: "information",
  title: "A position that nothing can bring about",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    if (!coversAll(engine)) return;
    for (const control of machine.controls) {
      yield;
      if (control.settled || control.role === "supply") continue;
      const occurs = positionsIn(engine, engine.all(), control);
      const never = control.positions.filter((_, at) => occurs[at] === 0);
      if (never.length === 0) continue;
      const part = machine.parts[control.part]!;
      const place: Place = never[0]!.place ?? part.namePlace;
      report({
        place,
        what: `Nothing brings ${controlName(machine, control)} to ${list(never.map(({ name }) => name))}.`,
        why: "Whatever this position should switch never happens, and no check has looked at it.",
        advice: "Look at what must come first: a dial that is held, a motor that is not fed, a heater that warms it.",
        related: relatedOnce(place, [related(part.namePlace, controlName(machine, control))]),
      });
    }
  },
};
