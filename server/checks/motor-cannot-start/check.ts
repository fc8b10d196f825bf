/** A motor whose main winding has the line but that gets no starting torque: it hums. */
import { anyOf, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { amps, loadName, partName, related, relatedOnce } from "../words.ts";

export const motorCannotStart: Check = {
  id: "motor-cannot-start",
  gravity: "warning",
  title: "A motor that hums and cannot start",
  *run({ engine, machine, report }) {
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
          rule.mains.map((main) => engine.when(main, ["works", "over"])),
        ),
      );
      const state = engine.witness(full);
      if (!state) continue;
      const part = machine.parts[control.part]!;
      const solution = engine.solve(state);
      const main = rule.mains.find((id) => engine.has(engine.when(id, ["works", "over"]), state)) ?? rule.mains[0]!;
      const current = Math.hypot(solution.loadAmps.re[main]!, solution.loadAmps.im[main]!);
      const startFed = rule.starts.some((id) => engine.has(engine.when(id, ["weak", "works", "over"]), state));
      report({
        place: part.namePlace,
        what: `${partName(part)} hums and does not start: ${loadName(machine, main)} has the line, but ${startFed ? "the start winding gives no turning force" : "the start winding gets no volts"}.`,
        why: `It draws ${Number.isFinite(current) ? amps(current) : "its locked-rotor current"} standing still until its protector opens or the winding burns.`,
        advice: startFed
          ? "Check the capacitor and to which sides of the line the two windings go."
          : "Follow the start winding's way through the speed switch, relay or capacitor; every contact on it must be closed while the motor stands still.",
        state: shown(engine, state),
        related: relatedOnce(
          part.namePlace,
          [...rule.mains, ...rule.starts].map((id) => related(machine.loads[id]!.namePlace, machine.loads[id]!.name)),
        ),
      });
    }
  },
};
