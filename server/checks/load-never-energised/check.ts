/** A load that gets no real volts in any state the machine can be in. */
import type { Load, Machine } from "../../machine/machine.ts";
import { coversAll, energised } from "../ask.ts";
import type { Check } from "../check.ts";
import { doing, loadName, related, terminalName } from "../words.ts";

/** Parts that are not fed for their own sake, or whose volts are judged elsewhere. */
const NOT_ASKED = new Set<Load["kind"]>(["resistor", "capacitor", "sensor", "diode", "ptc", "bias-heater"]);

export const loadNeverEnergised: Check = {
  id: "load-never-energised",
  gravity: "warning",
  title: "A load that nothing can switch on",
  *run({ engine, machine, report }) {
    if (!coversAll(engine)) return;
    const restless = new Set(
      engine.chatters().flatMap(({ controls }) => controls.map((id) => machine.controls[id]!.part)),
    );
    for (const load of machine.loads) {
      yield;
      // A relay that chatters never rests energised; chatter tells it.
      if (restless.has(load.part)) continue;
      if (NOT_ASKED.has(load.kind) || unwired(machine, engine.circuit.terminalsOf, engine.circuit.jointOf, load))
        continue;
      if (!engine.isEmpty(energised(engine, load.id))) continue;
      const shorted = engine.circuit.loadA[load.id] === engine.circuit.loadB[load.id];
      report({
        place: load.namePlace,
        what: shorted
          ? `${loadName(machine, load.id)} has both ends on the same connection, so it never gets any volts.`
          : `${loadName(machine, load.id)} never ${doing(load)}: it gets no real volts in any state the machine can be in.`,
        why: "Either it is wired wrong, or a position that feeds it is missing from the text.",
        advice: `Trace both its ends, ${terminalName(machine, load.a)} and ${terminalName(machine, load.b)}, to a leg of the supply, and compare every contact on the way with the machine's own sheet.`,
        related: [related(machine.supply.place, "the supply that should reach it")],
      });
    }
  },
};

/** Loads with a free end are told by loose-end. */
function unwired(
  machine: Machine,
  terminalsOf: readonly (readonly number[])[],
  jointOf: Int32Array,
  load: Load,
): boolean {
  const free = (terminal: number): boolean => {
    const joint = terminalsOf[jointOf[terminal]!]!;
    return joint.every((t) => t === terminal) && !machine.supply.legs.some((leg) => leg.terminal === terminal);
  };
  return free(load.a) || free(load.b);
}
