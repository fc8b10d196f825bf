/** A load that gets too few volts to work, with nothing in series to blame. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { MOST_LOOKS, weakSearch } from "../weak-states.ts";
import { loadName, related, volts } from "../words.ts";

export const loadWeak: Check = {
  id: "load-weak",
  gravity: "warning",
  title: "A load that gets too few volts to work",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      const { found, complete } = yield* weakSearch(engine, load);
      const weak = found.find(({ cause }) => cause === "other");
      if (!weak && !complete)
        report({
          gravity: "information",
          place: load.namePlace,
          what: `${loadName(machine, load.id)} has too few volts in more kinds of state than could be looked at; ${MOST_LOOKS} were.`,
          why: "What is found about its weak volts holds; another cause may have been missed.",
          advice: "Say what is meant, with also at or through behind the load, so that fewer states are left.",
          related: [related(machine.supply.place, `the supply, ${machine.supply.text}`)],
        });
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
