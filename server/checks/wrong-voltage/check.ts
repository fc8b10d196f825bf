/** A load that gets more volts than it is made for. */
import { alwaysInSeries } from "../../circuit/series-loads.ts";
import type { Load, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, less, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { mostVolts } from "../volts-found.ts";
import { alikeFor, loadsInSeries, twinsOf, voltsOf } from "../weak-states.ts";
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
      let most = mostVolts(engine, load.id, over);
      if (load.kind === "start-winding" || twinsOf(machine, load).length > 0) {
        const state = yield* withoutCapacitor(engine, load, over);
        most = state && { value: voltsOf(engine, load.id, state), state, proved: true };
      }
      if (!most) continue;
      const { state, proved } = most;
      const value = Number.isFinite(most.value) ? most.value : undefined;
      const power = value === undefined ? undefined : (value / load.ratedVolts) ** 2;
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} is made for ${volts(load.ratedVolts)} and gets ${value === undefined ? "more" : `${proved ? "" : "at least "}${volts(value)}`}.`,
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

/** Kinds of state of one winding that are looked at, where neither the wires nor the legs tell. */
const MOST_LOOKS = 400;

/**
 * A start or auxiliary winding behind a capacitor, or one of two equal windings, gets more volts than the line by design, and its plate volts are the motor's: only states
 * in which no capacitor is in series count. Those with both ends on legs come first. After `MOST_LOOKS` kinds of other states the next one counts as if none were.
 */
function* withoutCapacitor(engine: Engine, load: Load, over: Region): Generator<void, MachineState | undefined> {
  const { circuit } = engine;
  const { loads, supply } = circuit.machine;
  const isCapacitor = (id: number) => loads[id]!.kind === "capacitor";
  if (alwaysInSeries(circuit, load.id).some(isCapacitor)) return undefined;
  const onLegs = [load.a, load.b].map((end) =>
    anyOf(
      engine,
      supply.legs.map((_, leg) => engine.tied(end, leg)),
    ),
  );
  const direct = engine.and(over, engine.and(onLegs[0]!, onLegs[1]!));
  if (!engine.isEmpty(direct)) return engine.witness(direct);
  let left = over;
  for (let look = 0; ; look++) {
    const state = engine.witness(left);
    if (!state || look === MOST_LOOKS) return state;
    if (!loadsInSeries(engine, load.id, state).some(isCapacitor)) return state;
    yield;
    left = less(engine, left, alikeFor(engine, load.id, state));
  }
}
