/** A motor whose main winding has the line but that gets no starting torque: it hums. */

import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, FULL, less, position, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { amps, list, loadName, partName, related, relatedOnce, verb } from "../words.ts";

export const motorCannotStart: Check = {
  id: "motor-cannot-start",
  gravity: "warning",
  title: "A motor that hums and cannot start",
  hangsOn: "structure",
  *run({ engine, machine, report, amountsDecide }) {
    for (const control of machine.controls) {
      const { rule } = control;
      if (rule?.rule !== "motor") continue;
      yield;
      const hums = engine.where([
        [{ control: control.id, positions: Uint8Array.from(control.positions, (_, i) => (i === 1 ? 1 : 0)) }],
      ]);
      // Too few volts on the main winding is told by load-weak and its kin.
      const full = engine.and(
        hums,
        anyOf(
          engine,
          [...rule.mains, ...(rule.either ? rule.starts : [])].map((main) => engine.when(main, FULL)),
        ),
      );
      const hot = hotStarters(engine);
      const cold = engine.witness(
        less(
          engine,
          full,
          anyOf(
            engine,
            hot.map(({ region }) => region),
          ),
        ),
      );
      const state = cold ?? engine.witness(full);
      if (!state) continue;
      const waits = cold ? [] : hot.filter(({ region }) => engine.has(region, state)).map(({ name }) => name);
      const part = machine.parts[control.part]!;
      amountsDecide();
      const solution = engine.solve(state);
      const windings = [...rule.mains, ...rule.starts];
      const main =
        (rule.either ? windings : rule.mains).find((id) => engine.has(engine.when(id, FULL), state)) ?? rule.mains[0]!;
      const others = rule.either ? windings.filter((id) => id !== main) : rule.starts;
      const current = Math.hypot(solution.loadAmps.re[main]!, solution.loadAmps.im[main]!);
      const startFed = others.some((id) => engine.has(engine.when(id, ["weak", "works", "over"]), state));
      const without = startFed ? "the start winding gives no turning force" : "the start winding gets no volts";
      report({
        gravity: waits.length > 0 ? "information" : undefined,
        place: part.namePlace,
        what:
          waits.length > 0
            ? `${partName(part)} does not start again while ${list(waits)} ${verb(waits.length, "is", "are")} still hot: it hums, with too little current in the start winding.`
            : `${partName(part)} hums and does not start: ${loadName(machine, main)} has the line, but ${without}.`,
        why: `It draws ${Number.isFinite(current) ? amps(current) : "its locked-rotor current"} standing still until its protector opens or the winding burns.`,
        advice:
          waits.length > 0
            ? `So a PTC start is made: give it some minutes to cool after every stop. Where the machine may start again at once, a delay or its overload has to bridge that time.`
            : startFed
              ? "Check the capacitor and to which sides of the line the two windings go."
              : "Follow the start winding's way through the speed switch, relay or capacitor; every contact on it must be closed while the motor stands still.",
        state: shown(engine, state),
        related: relatedOnce(
          part.namePlace,
          windings.map((id) => related(machine.loads[id]!.namePlace, machine.loads[id]!.name)),
        ),
      });
    }
  },
};

/** PTCs, with the states in which each is hot. */
function hotStarters(engine: Engine): { readonly name: string; readonly region: Region }[] {
  const { machine } = engine.circuit;
  return machine.controls
    .filter(({ role, part }) => role === "heat-memory" && machine.parts[part]!.kind === "ptc")
    .map((control) => ({
      name: partName(machine.parts[control.part]!),
      region: engine.where([[{ control: control.id, positions: position(machine, control.id, 1) }]]),
    }));
}
