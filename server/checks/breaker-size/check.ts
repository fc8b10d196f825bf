/** A breaker, fuse or cord that does not fit what it feeds. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { largestLegAmps, worstStates } from "../currents.ts";
import { amps, related } from "../words.ts";

export const breakerSize: Check = {
  id: "breaker-size",
  gravity: "warning",
  title: "A breaker too small for the machine",
  *run({ engine, machine, report }) {
    const { supply } = machine;
    const rated = supply.breakerAmps;
    if (rated === undefined || !supply.stated) return;
    const states = yield* worstStates(engine);
    const legs = largestLegAmps(engine, states).filter((_, leg) => supply.legs[leg]!.role === "live");
    const worst = legs.reduce((a, b) => ((b?.amps ?? 0) > (a?.amps ?? 0) ? b : a), undefined);
    if (worst && worst.amps > rated)
      report({
        place: supply.place,
        what: `The breaker is rated ${amps(rated)}, and the machine draws ${amps(worst.amps)} from one leg.`,
        why: "It trips in normal use, and a larger one in its place would leave the wiring of the house unprotected.",
        advice:
          "Check the loads that are on together in this state; the circuit and its wire must be sized for the machine, not the breaker alone. Follow the local code.",
        state: shown(engine, worst.state),
        related: [],
      });
    const live = supply.legs.filter(({ role }) => role === "live").length;
    if (supply.breakerPoles !== undefined && supply.breakerPoles < live)
      report({
        gravity: "error",
        place: supply.place,
        what: `A breaker of ${supply.breakerPoles} pole${supply.breakerPoles === 1 ? "" : "s"} does not open both live legs.`,
        why: "With the breaker off, half the machine stays live.",
        advice: "A circuit of two live legs needs a two-pole breaker that opens both together.",
        related: [],
      });
    yield;
    for (const contact of machine.contacts) {
      if (contact.role !== "fuse" && contact.role !== "breaker") continue;
      const size = contact.ratings.find(({ amps: a }) => a !== undefined)?.amps;
      if (size === undefined) continue;
      const most = engine.extreme({ of: "carries", contact: contact.id }, engine.all()).largest;
      if (most && most.value > size)
        report({
          place: contact.namePlace,
          what: `${contact.name} is rated ${amps(size)} and carries ${amps(most.value)}.`,
          why: "It opens in normal use.",
          advice: "Check what it feeds in this state; never fit a larger one than the maker names.",
          state: shown(engine, most.state),
          related: [related(supply.place, `the supply, ${supply.text}`)],
        });
      yield;
    }
  },
};
