/** A load that is fed backwards through other loads while its own switch is open. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { TRICKLE, weakStates } from "../weak-states.ts";
import { contactName, doing, list, loadName, related, relatedOnce, verb, volts } from "../words.ts";

export const backFeed: Check = {
  id: "back-feed",
  gravity: "warning",
  title: "A load fed backwards with its own switch open",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      const weak = (yield* weakStates(engine, load)).find(({ cause }) => cause === "back-feed");
      if (!weak) continue;
      report({
        gravity: weak.volts < load.ratedVolts! * TRICKLE ? "information" : undefined,
        place: load.namePlace,
        what: `${loadName(machine, load.id)} gets ${volts(weak.volts)} through ${list(weak.through.map((id) => loadName(machine, id)))} though ${list(weak.open.map((id) => contactName(machine, id)))} ${verb(weak.open.length, "is", "are")} open.`,
        why: `Volts come in by the back way: what should be off hums, glows or ${doing(load)} weakly, and a meter shows volts where none belong.`,
        advice: `If the maker meant it so, write through ${machine.loads[weak.through[0]!]!.name} behind ${load.name}; else look for a switched line that two loads share, and for a lost neutral or a wire on the wrong terminal.`,
        state: shown(engine, weak.state),
        related: relatedOnce(load.namePlace, [
          ...weak.open.map((id) => related(machine.contacts[id]!.namePlace, `${machine.contacts[id]!.name} is open`)),
          ...weak.through.map((id) => related(machine.loads[id]!.namePlace, `the way in: ${machine.loads[id]!.name}`)),
        ]),
      });
    }
  },
};
