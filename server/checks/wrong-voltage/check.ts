/** A load that gets more volts than it is made for. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { loadsInSeries } from "../weak-states.ts";
import { loadName, percent, related, volts, watts } from "../words.ts";

export const wrongVoltage: Check = {
  id: "wrong-voltage",
  gravity: "error",
  title: "A load at more volts than it is made for",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      yield;
      if (load.ratedVolts === undefined || load.kind === "capacitor") continue;
      const over = engine.when(load.id, ["over"]);
      if (engine.isEmpty(over)) continue;
      const largest = engine.extreme({ of: "load-volts", load: load.id }, over).largest;
      const state = largest?.state ?? engine.witness(over);
      if (!state) continue;
      // A start or auxiliary winding behind a capacitor gets more volts than the line by design, and its plate volts are the motor's.
      if (
        load.kind === "start-winding" &&
        loadsInSeries(engine, load.id, state).some((id) => machine.loads[id]!.kind === "capacitor")
      )
        continue;
      const value = largest?.value;
      const power = value === undefined ? undefined : (value / load.ratedVolts) ** 2;
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} is made for ${volts(load.ratedVolts)} and gets ${value === undefined ? "more" : volts(value)}.`,
        why:
          load.kind === "heater" && load.ratedWatts !== undefined && power !== undefined
            ? `It then takes ${watts(load.ratedWatts * power)} instead of ${watts(load.ratedWatts)} and burns out.`
            : `It takes ${power === undefined ? "more" : percent(power)}${power === undefined ? "" : " of"} its power and burns out early.`,
        advice:
          "Check to which leg each of its ends goes; a load for one leg belongs between that leg and the neutral.",
        state: shown(engine, state),
        related: [related(machine.supply.place, `the supply, ${machine.supply.text}`)],
      });
    }
  },
};
