/** A load whose current comes back through the protective earth. */
import { anyOf, energised, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { loadName, related, relatedOnce, terminalName } from "../words.ts";

export const earthAsReturn: Check = {
  id: "earth-as-return",
  gravity: "error",
  title: "A load that uses the ground as its return",
  *run({ engine, machine, report }) {
    const earths = machine.supply.legs.flatMap(({ role }, leg) => (role === "protective" ? [leg] : []));
    if (earths.length === 0) return;
    for (const load of machine.loads) {
      yield;
      const touching = anyOf(
        engine,
        earths.flatMap((leg) => [engine.tied(load.a, leg), engine.tied(load.b, leg)]),
      );
      if (engine.isEmpty(touching)) continue;
      const state = engine.witness(engine.and(energised(engine, load.id), touching));
      if (!state) continue;
      const earthed = earths.some((leg) => engine.has(engine.tied(load.a, leg), state)) ? load.a : load.b;
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} returns its current through the ground, at ${terminalName(machine, earthed)}.`,
        why: "The ground must carry no current in normal use: if it breaks anywhere, all metal tied to it stands at line volts.",
        advice: `Wire ${terminalName(machine, earthed)} to the neutral or the other leg that the machine's own sheet shows.`,
        state: shown(engine, state),
        related: relatedOnce(load.namePlace, [
          related(machine.terminals[earthed]!.place, "this end is tied to the ground"),
        ]),
      });
    }
  },
};
