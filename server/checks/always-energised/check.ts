/** A load that nothing can switch off, short of pulling the plug. */
import type { Load } from "../../machine/machine.ts";
import { coversAll, energised, less, shown, supplyOn } from "../ask.ts";
import type { Check } from "../check.ts";
import { doing, loadName, related } from "../words.ts";

/** Parts that stand on the line all the time by their nature. */
const BY_NATURE = new Set<Load["kind"]>(["board", "resistor", "capacitor", "sensor", "neon", "ptc", "diode"]);

export const alwaysEnergised: Check = {
  id: "always-energised",
  gravity: "warning",
  title: "A load that nothing can switch off",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    if (!coversAll(engine)) return;
    const on = supplyOn(engine);
    for (const load of machine.loads) {
      yield;
      if (BY_NATURE.has(load.kind)) continue;
      const energy = energised(engine, load.id);
      if (engine.isEmpty(energy) || !engine.isEmpty(less(engine, on, energy))) continue;
      const state = engine.witness(energy);
      report({
        gravity:
          load.kind === "lamp" || load.kind === "load" || load.kind === "drive" || load.kind === "fan"
            ? "information"
            : undefined,
        place: load.namePlace,
        what: `${loadName(machine, load.id)} ${doing(load)} whenever the machine is plugged in: no contact switches it off.`,
        why: "It cannot be stopped by any control, cut-out or door.",
        advice: "If the maker meant it so, silence this with the reason; else wire its switch in series with it.",
        ...(state ? { state: shown(engine, state) } : {}),
        related: [related(machine.supply.place, "straight from the supply")],
      });
    }
  },
};
