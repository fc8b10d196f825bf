/** A capacitor that sees more volts than it is rated for; it can see more than the supply. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { largestInWords, unproved, unprovedWords } from "../unproved.ts";
import { loadName, related, relatedOnce, volts } from "../words.ts";

export const capacitorVolts: Check = {
  id: "capacitor-volts",
  gravity: "error",
  title: "A capacitor at more volts than it is rated for",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      if (load.kind !== "capacitor" || load.ratedVolts === undefined) continue;
      yield;
      const found = engine.extreme({ of: "load-volts", load: load.id }, engine.all());
      const { largest } = found;
      const limit = load.ratedVolts * (1 + 1e-6);
      if (unproved(engine, found, limit))
        report({
          ...unprovedWords(loadName(machine, load.id), "sees", found, volts(load.ratedVolts), volts),
          place: load.namePlace,
          related: relatedOnce(load.namePlace, [related(load.place, "its rating stands here")]),
        });
      if (!largest || !(largest.value > limit)) continue;
      const live = Math.max(...machine.supply.legs.map(({ volts: v }) => Math.hypot(v.re, v.im)));
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} is rated ${volts(load.ratedVolts)} and sees ${largestInWords(found, volts)}.`,
        why: `${largest.value > live * 1.05 ? "In series with a winding a capacitor gets more volts than the supply; it" : "It"} breaks down and may burst.`,
        advice: `Fit one rated for at least ${volts(largest.value)} and the same microfarads; discharge the old one through some kilohms before touching it.`,
        state: shown(engine, largest.state),
        related: relatedOnce(load.namePlace, [related(load.place, "its rating stands here")]),
      });
    }
  },
};
