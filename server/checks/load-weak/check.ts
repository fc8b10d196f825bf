/** A load that gets too few volts to work, with nothing in series to blame. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { weakStates } from "../weak-states.ts";
import { loadName, related, volts } from "../words.ts";

export const loadWeak: Check = {
  id: "load-weak",
  gravity: "warning",
  title: "A load that gets too few volts to work",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      const weak = (yield* weakStates(engine, load)).find(({ cause }) => cause === "other");
      if (!weak) continue;
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} is made for ${volts(load.ratedVolts!)} and gets only ${volts(weak.volts)}.`,
        why: "It will not do its work: a heater stays cool, a valve buzzes, a motor hums and overheats.",
        advice: `If it is meant so, write also at ${volts(weak.volts)} behind ${load.name}; else check to which leg each of its ends goes.`,
        state: shown(engine, weak.state),
        related: [related(machine.supply.place, `the supply, ${machine.supply.text}`)],
      });
    }
  },
};
