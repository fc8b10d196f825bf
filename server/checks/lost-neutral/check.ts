/** The neutral lost: loads on the two legs are then in series, and the lighter ones get too many volts. */
import { edit } from "../../machine/edit.ts";
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { mostVolts, type VoltsFound } from "../volts-found.ts";
import { list, loadName, related, relatedOnce, volts } from "../words.ts";

export const lostNeutral: Check = {
  id: "lost-neutral",
  gravity: "information",
  title: "Loads that get too many volts when the neutral is lost",
  phase: "later",
  *run({ machine, analyse, report, looked }) {
    const { legs } = machine.supply;
    const neutral = legs.find(({ role }) => role === "neutral");
    if (!analyse || !neutral || legs.filter(({ role }) => role === "live").length < 2) return;
    const engine = yield* analyse(edit(machine, [{ edit: "lose-leg", terminal: neutral.terminal }]));
    const hit: (VoltsFound & { readonly id: number })[] = [];
    for (const load of machine.loads) {
      yield;
      if (load.ratedVolts === undefined || load.kind === "resistor" || load.kind === "capacitor") continue;
      const over = engine.when(load.id, ["over"]);
      if (engine.isEmpty(over)) continue;
      const most = mostVolts(engine, load.id, over);
      if (most && Number.isFinite(most.value)) hit.push({ id: load.id, ...most });
    }
    const missing = engine.covered().missing;
    looked(
      "the neutral lost",
      missing.map((sentence) => `with the neutral lost: ${sentence}`),
    );
    if (hit.length === 0) {
      if (missing.length > 0)
        report({
          place: machine.supply.place,
          what: `With the neutral lost, not every state was looked at: ${missing.join(" ")}`,
          why: "A load that gets too many volts then may have been missed.",
          advice: "Look at the loads of the two legs by hand.",
          related: [],
        });
      return;
    }
    const worst = hit.reduce((a, b) =>
      b.value / machine.loads[b.id]!.ratedVolts! > a.value / machine.loads[a.id]!.ratedVolts! ? b : a,
    );
    const load = machine.loads[worst.id]!;
    report({
      place: machine.supply.place,
      what: `If the neutral ${neutral.name} is lost, ${loadName(machine, worst.id)} gets ${upTo(worst)} instead of ${volts(load.ratedVolts!)}${hit.length > 1 ? `, and ${list(hit.filter((h) => h !== worst).map((h) => machine.loads[h.id]!.name))} ${hit.length > 2 ? "get" : "gets"} too many volts as well` : ""}.`,
      why: `Loads of the two legs are then in series, and the one of the higher resistance takes most of the volts.${missing.length > 0 ? " Not every state was looked at." : ""}`,
      advice:
        "When several loads of one leg die together, check the neutral at the outlet and the terminal block before fitting new parts.",
      state: shown(engine, worst.state),
      related: relatedOnce(
        machine.supply.place,
        hit.map((h) => related(machine.loads[h.id]!.namePlace, upTo(h))),
      ),
    });
  },
};

function upTo({ value, proved }: VoltsFound): string {
  return `${proved ? "up to" : "at least"} ${volts(value)}`;
}
