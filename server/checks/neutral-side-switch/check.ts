/** A contact on the neutral side: its load stays live when it is open. */
import type { ContactId, LoadId, Machine, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, less, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, list, loadName, related, relatedOnce } from "../words.ts";

export const neutralSideSwitch: Check = {
  id: "neutral-side-switch",
  gravity: "information",
  title: "A switch on the neutral side, with its load left live",
  *run({ engine, machine, report }) {
    const { legs } = machine.supply;
    const neutrals = legs.flatMap(({ role }, leg) => (role === "neutral" ? [leg] : []));
    const lives = legs.flatMap(({ role }, leg) => (role === "live" ? [leg] : []));
    if (machine.supply.reversible) yield* reversible();
    if (neutrals.length === 0) return;
    const tiedLive = (terminal: number): Region =>
      anyOf(
        engine,
        lives.map((leg) => engine.tied(terminal, leg)),
      );
    for (const contact of machine.contacts) {
      yield;
      const toNeutral = anyOf(
        engine,
        neutrals.map((leg) => engine.tied(contact.a, leg)),
      );
      const passing = engine.and(engine.closed(contact.id), toNeutral);
      if (engine.isEmpty(passing)) continue;
      const open = engine.not(engine.closed(contact.id));
      if (engine.isEmpty(open)) continue;
      const loads: LoadId[] = [];
      let left = engine.none();
      for (const load of machine.loads) {
        if (load.kind === "resistor" || load.kind === "capacitor") continue;
        if (engine.isEmpty(engine.and(passing, engine.inSeries(contact.id, load.id)))) continue;
        const live = engine.and(
          engine.and(open, engine.when(load.id, ["off"])),
          engine.or(tiedLive(load.a), tiedLive(load.b)),
        );
        const stays = less(
          engine,
          live,
          anyOf(
            engine,
            neutrals.flatMap((leg) => [engine.tied(load.a, leg), engine.tied(load.b, leg)]),
          ),
        );
        if (engine.isEmpty(stays)) continue;
        loads.push(load.id);
        left = engine.or(left, stays);
      }
      const state = engine.witness(left);
      if (state) tell(contact.id, loads, state);
    }

    function tell(contact: ContactId, loads: readonly LoadId[], state: MachineState): void {
      const it = machine.contacts[contact]!;
      const guardian = it.role !== "switching" && it.role !== "built-in-protector" && it.role !== "overload";
      report({
        gravity: guardian || loads.some((id) => heater(machine, id)) ? "warning" : undefined,
        place: it.namePlace,
        what: `${contactName(machine, contact)} opens the neutral side: with it open, ${list(loads.map((id) => loadName(machine, id)))} ${loads.length > 1 ? "stay" : "stays"} live.`,
        why: "The load does not work, yet touching it can kill, and one fault to the metal round it would run it with the switch open.",
        advice: guardian
          ? "Move it to the live side, ahead of the load, so that opening it takes the volts away."
          : "Where the maker wired it so (a door switch that shares its common with the lamp often is), leave it and always unplug before reaching in; else move it to the live side.",
        state: shown(engine, state),
        related: relatedOnce(
          it.namePlace,
          loads.map((id) => related(machine.loads[id]!.namePlace, `${machine.loads[id]!.name} stays live`)),
        ),
      });
    }

    /** With the plug the other way round N is live: every load switched on one side only may be the one left live. */
    function* reversible(): Generator<void, void> {
      const loads: LoadId[] = [];
      let left = engine.none();
      for (const load of machine.loads) {
        yield;
        if (load.kind === "resistor" || load.kind === "capacitor") continue;
        const off = engine.and(engine.when(load.id, ["off"]), supplied(engine));
        const held = anyOf(
          engine,
          neutrals.flatMap((leg) => [engine.tied(load.a, leg), engine.tied(load.b, leg)]),
        );
        const stays = engine.and(off, held);
        if (engine.isEmpty(stays)) continue;
        loads.push(load.id);
        left = engine.or(left, stays);
      }
      const state = engine.witness(left);
      if (!state) return;
      report({
        place: machine.supply.place,
        what: `The plug fits both ways round: one way, ${list(loads.map((id) => loadName(machine, id)))} ${loads.length > 1 ? "stay" : "stays"} live while switched off.`,
        why: "Switches on one side only leave the other side live whenever the plug is turned round.",
        advice: "Unplug before touching anything inside; switched off is not dead.",
        state: shown(engine, state),
        related: relatedOnce(
          machine.supply.place,
          loads.map((id) => related(machine.loads[id]!.namePlace, `${machine.loads[id]!.name} may stay live`)),
        ),
      });
    }
  },
};

function supplied(engine: Engine): Region {
  const { supply } = engine.circuit.machine;
  return engine.where([[{ control: supply.control, positions: Uint8Array.of(1, 0) }]]);
}

function heater(machine: Machine, load: LoadId): boolean {
  return machine.loads[load]!.kind === "heater";
}
