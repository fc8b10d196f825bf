/** A breaker or fuse too small for what it feeds, or one that leaves a live leg on. */
import type { MachineState } from "../../machine/machine.ts";
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { largestLegAmps, notHumming } from "../currents.ts";
import { largestInWords, unproved, unprovedWords } from "../unproved.ts";
import { amps, related } from "../words.ts";

export const breakerSize: Check = {
  id: "breaker-size",
  gravity: "warning",
  title: "A breaker too small for the machine",
  *run({ engine, machine, report }) {
    const { supply } = machine;
    const care = notHumming(engine);
    if (supply.stated && supply.breakerAmps !== undefined) yield* breaker(supply.breakerAmps);
    yield;
    for (const contact of machine.contacts) {
      if (contact.role !== "fuse" && contact.role !== "breaker") continue;
      const size = contact.ratings.find(({ amps: a }) => a !== undefined)?.amps;
      if (size === undefined) continue;
      const carried = engine.extreme({ of: "carries", contact: contact.id }, care);
      const most = carried.largest;
      if (unproved(engine, carried, size))
        report({
          ...unprovedWords(contact.name, "carries", carried, amps(size), amps),
          place: contact.namePlace,
          related: [related(supply.place, `the supply, ${supply.text}`)],
        });
      if (most && most.value > size * (1 + 1e-6))
        report({
          place: contact.namePlace,
          what: `${contact.name} is rated ${amps(size)} and carries ${largestInWords(carried, amps)}.`,
          why: "It opens in normal use.",
          advice: "Check what it feeds in this state; never fit a larger one than the maker names.",
          state: shown(engine, most.state),
          related: [related(supply.place, `the supply, ${supply.text}`)],
        });
      yield;
    }

    function* breaker(rated: number): Generator<void, void> {
      const found = largestLegAmps(engine, care);
      yield;
      const worst = found?.largest;
      if (found && unproved(engine, found, rated))
        report({
          ...unprovedWords("What the machine draws from one leg", "is", found, `the breaker's ${amps(rated)}`, amps),
          place: supply.place,
          related: [],
        });
      if (worst && worst.value > rated * (1 + 1e-6))
        report({
          place: supply.place,
          what: `The breaker is rated ${amps(rated)}, and the machine draws ${largestInWords(found, amps)} from one leg.`,
          why: "It trips in normal use, and a larger one in its place would leave the wiring of the house unprotected.",
          advice:
            "Check the loads that are on together in this state; the circuit and its wire must be sized for the machine, not the breaker alone. Follow the local code.",
          state: shown(engine, worst.state),
          related: machine.loads
            .filter(({ id }) => drawsIn(id, worst.state))
            .slice(0, 6)
            .map((load) => related(load.namePlace, `${load.name} is on in this state`)),
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
    }

    function drawsIn(load: number, state: MachineState): boolean {
      const { re, im } = engine.solve(state).loadAmps;
      return Math.hypot(re[load]!, im[load]!) > 0.1;
    }
  },
};
