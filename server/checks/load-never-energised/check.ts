/** A load that gets no real volts in any state the machine can be in. */
import type { Load, Machine, MachineState } from "../../machine/machine.ts";
import { coversAll, energised } from "../ask.ts";
import type { Check } from "../check.ts";
import { edgesAt } from "../loose-end/check.ts";
import { NOT_JUDGED } from "../weak-states.ts";
import { shareOf, startingStates } from "../while-starting.ts";
import { doing, loadName, related, terminalName } from "../words.ts";

export const loadNeverEnergised: Check = {
  id: "load-never-energised",
  gravity: "warning",
  title: "A load that nothing can switch on",
  hangsOn: "structure",
  *run({ engine, machine, report, amountsDecide }) {
    if (!coversAll(engine)) return;
    // A coil that acts by current has next to no volts across it by design.
    const currentCoils = new Set(machine.controls.flatMap(({ rule }) => (rule?.rule === "current" ? [rule.load] : [])));
    const restless = new Set(
      engine.chatters().flatMap(({ controls }) => controls.map((id) => machine.controls[id]!.part)),
    );
    let starting: readonly MachineState[] | undefined;
    for (const load of machine.loads) {
      yield;
      // A relay that chatters never rests energised; chatter tells it.
      if (restless.has(load.part) || currentCoils.has(load.id)) continue;
      if (NOT_JUDGED.has(load.kind) || unwired(machine, engine.circuit.terminalsOf, engine.circuit.jointOf, load))
        continue;
      if (!engine.isEmpty(energised(engine, load.id))) continue;
      // A start relay or what lies across a start winding lives only until the motor is up to speed.
      amountsDecide();
      starting ??= yield* startingStates(engine);
      if (starting.some((state) => shareOf(engine, load.id, state) >= load.scale.weak)) continue;
      const shorted = engine.circuit.loadA[load.id] === engine.circuit.loadB[load.id];
      report({
        place: load.namePlace,
        what: shorted
          ? `${loadName(machine, load.id)} has both ends on the same connection, so it never gets any volts.`
          : `${loadName(machine, load.id)} never ${doing(load)}: it gets no real volts in any state the machine can be in.`,
        why: "Either it is wired wrong, or a position that feeds it is missing from the text.",
        advice: `Trace both its ends, ${terminalName(machine, load.a)} and ${terminalName(machine, load.b)}, to a leg of the supply, and compare every contact on the way with the machine's own sheet.`,
        related: [related(machine.supply.place, "the supply that should reach it")],
      });
    }
  },
};

/** A load with an end that nothing else shares, by wire or by terminal: loose-end tells it. */
function unwired(
  machine: Machine,
  terminalsOf: readonly (readonly number[])[],
  jointOf: Int32Array,
  load: Load,
): boolean {
  const edges = edgesAt(machine);
  return [load.a, load.b].some((terminal) => {
    const there = terminalsOf[jointOf[terminal]!]!;
    if (machine.supply.legs.some((leg) => there.includes(leg.terminal))) return false;
    return there.reduce((sum, t) => sum + (edges.get(t)?.length ?? 0), 0) < 2;
  });
}
