/** A load fed through another without the writer saying so. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { TRICKLE, weakStates } from "../weak-states.ts";
import { list, loadName, related, relatedOnce, volts } from "../words.ts";

export const seriesFeed: Check = {
  id: "series-feed",
  gravity: "warning",
  title: "A load fed through another, without the text saying so",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      const weak = (yield* weakStates(engine, load)).find(({ cause }) => cause === "series");
      if (!weak) continue;
      const names = list(weak.through.map((id) => loadName(machine, id)));
      report({
        gravity: weak.volts < load.ratedVolts! * TRICKLE ? "information" : undefined,
        place: load.namePlace,
        what: `${loadName(machine, load.id)} gets only ${volts(weak.volts)} of its ${volts(load.ratedVolts!)}, because its current runs through ${names}.`,
        why: "Two loads in series share the volts; neither works as its plate says.",
        advice: `If the maker meant it so, write through ${machine.loads[weak.through[0]!]!.name} (or also at ${volts(weak.volts)}) behind ${load.name}; else look for a wire on the wrong terminal.`,
        state: shown(engine, weak.state),
        related: relatedOnce(
          load.namePlace,
          weak.through.map((id) =>
            related(machine.loads[id]!.namePlace, `its current runs through ${machine.loads[id]!.name}`),
          ),
        ),
      });
    }
  },
};
