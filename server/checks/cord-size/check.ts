/** A cord or fixed wiring too thin for the machine, or for the breaker ahead of it. Only where the text gives their size. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { largestLegAmps, notHumming } from "../currents.ts";
import { cordLimit, fixedWiringLimit } from "../tables/conductors.ts";
import { largestInWords, unproved, unprovedWords } from "../unproved.ts";
import { amps, related, relatedOnce } from "../words.ts";

export const cordSize: Check = {
  id: "cord-size",
  gravity: "warning",
  title: "A cord or fixed wiring too thin for the machine or its breaker",
  *run({ engine, machine, report }) {
    const { supply } = machine;
    const { cord, wiring, breakerAmps } = supply;
    if (cord === undefined && wiring === undefined) return;
    const draws = largestLegAmps(engine, notHumming(engine));
    yield;
    const carrying = supply.legs.filter(({ role }) => role !== "protective").length;
    const fixed = wiring && fixedWiringLimit(wiring.area, wiring.text);
    const conductors = [
      cord && { name: "cord", of: cord, limit: cordLimit(cord.area, cord.text, carrying) },
      wiring && { name: "fixed wiring", of: wiring, limit: fixed?.carries },
    ];
    for (const one of conductors) {
      if (!one?.limit || !draws) continue;
      const { name, of, limit } = one;
      const places = relatedOnce(of.place, [related(supply.place, `the supply, ${supply.text}`)]);
      if (draws.largest && draws.largest.value > limit.amps * (1 + 1e-6))
        report({
          place: of.place,
          what: `The ${name} of ${of.text} is good for ${amps(limit.amps)}, and the machine draws ${largestInWords(draws, amps)} from one leg.`,
          why: `It runs hot all along its length, most where it is coiled or boxed in. (${limit.source}.)`,
          advice: `Look at the marking on the ${name} itself; if the text is right, it must be replaced by a thicker one. Follow the local code.`,
          state: shown(engine, draws.largest.state),
          related: places,
        });
      else if (unproved(engine, draws, limit.amps))
        report({
          ...unprovedWords(`What the ${name} carries`, "is", draws, amps(limit.amps), amps),
          place: of.place,
          related: places,
        });
    }
    if (wiring && fixed && breakerAmps !== undefined && breakerAmps > fixed.breaker.amps)
      report({
        gravity: "error",
        place: wiring.place,
        what: `Fixed wiring of ${wiring.text} stands behind a breaker of ${amps(breakerAmps)}; ${amps(fixed.breaker.amps)} is the most.`,
        why: `The wire in the wall burns before the breaker trips. (${fixed.breaker.source}.)`,
        advice: "The breaker must be made smaller or the wire thicker, by a licensed person and to the local code.",
        related: relatedOnce(wiring.place, [related(supply.place, `the supply with its breaker, ${supply.text}`)]),
      });
  },
};
