/** A contact on the neutral side: its load stays live when it is open. */
import type { Contact, Load, LoadId, Machine, MachineState, PartId } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, isThermalProtector, less, position, senses, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, list, loadName, partName, related, relatedOnce, verb } from "../words.ts";

interface LeftLive {
  readonly contact: Contact;
  readonly loads: readonly LoadId[];
  readonly state: MachineState;
}

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
    const leftLives: Region[] = [];
    /** States in which the load is off, with a way to a live leg and none to the neutral. */
    const leftLive = ({ id, a, b }: Load): Region => {
      leftLives[id] ??= less(
        engine,
        engine.and(engine.when(id, ["off"]), engine.or(tiedLive(a), tiedLive(b))),
        anyOf(
          engine,
          neutrals.flatMap((leg) => [engine.tied(a, leg), engine.tied(b, leg)]),
        ),
      );
      return leftLives[id];
    };
    const byPart = new Map<PartId, LeftLive[]>();
    for (const contact of machine.contacts) {
      if (isNoOffSwitch(machine, contact)) continue;
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
        const stays = engine.and(open, leftLive(load));
        if (engine.isEmpty(stays) || engine.isEmpty(engine.and(passing, engine.inSeries(contact.id, load.id))))
          continue;
        loads.push(load.id);
        left = engine.or(left, stays);
      }
      const state = engine.witness(left);
      if (!state || hasDeadPosition(contact, loads)) continue;
      byPart.set(contact.part, [...(byPart.get(contact.part) ?? []), { contact, loads, state }]);
    }

    for (const ofPart of byPart.values()) tell(ofPart);

    function tell(all: readonly LeftLive[]): void {
      // A changeover cam moves in step with the program: nobody takes it for an off switch, unless it leaves a heater live.
      const told = all.filter(({ contact, loads }) => !isChangeoverCam(machine, contact) || hasHeater(machine, loads));
      const [first] = told;
      if (!first) return;
      // A disc in each leg: the one on the live side takes the volts away, the other one opens besides.
      const twins = told.map((each) => liveSideTwin(each));
      const twin = twins.every((each) => each !== undefined) ? twins[0] : undefined;
      const guardian = told.some(({ contact }) => contact.role !== "switching" && contact.role !== "overload");
      const grave = !twin && (guardian || told.some(({ loads }) => hasHeater(machine, loads)));
      const part = machine.parts[first.contact.part]!;
      const place = told.length > 1 ? part.namePlace : first.contact.namePlace;
      report({
        gravity: grave ? "warning" : undefined,
        place,
        what:
          told.length > 1
            ? `${partName(part)} opens the neutral side: ${told.map(({ contact, loads }) => `with ${contact.name} open, ${staysLive(loads)}`).join("; ")}.`
            : `${contactName(machine, first.contact.id)} opens the neutral side: with it open, ${staysLive(first.loads)}.`,
        why: "The load does not work, yet touching it can kill, and one fault to the metal round it would run it with the switch open.",
        advice: twin
          ? `${contactName(machine, twin.id)} opens the live side of the same. Where the maker fitted one in each leg, leave both, and always unplug before reaching in.`
          : guardian
            ? "Move it to the live side, ahead of the load, so that opening it takes the volts away."
            : "Where the maker wired it so (a door switch that shares its common with the lamp often is), leave it and always unplug before reaching in; else move it to the live side.",
        state: shown(engine, first.state),
        related: relatedOnce(place, [
          ...(told.length > 1
            ? told.map(({ contact }) => related(contact.namePlace, `${contact.name} opens the neutral side`))
            : []),
          ...[...new Set(told.flatMap(({ loads }) => loads))].map((id) =>
            related(machine.loads[id]!.namePlace, `${machine.loads[id]!.name} stays live`),
          ),
        ]),
      });
    }

    /**
     * True for a contact of a knob that takes the volts off these loads in some position: nobody takes one of its heats, in which they only
     * happen to be off, for its off.
     */
    function hasDeadPosition({ part, closed }: Contact, loads: readonly LoadId[]): boolean {
      const knobs = new Set(closed.flatMap((clause) => clause.map(({ control }) => control)));
      return machine.controls.some(
        ({ id, part: owner, role, positions }) =>
          owner === part &&
          knobs.has(id) &&
          (role === "selector" || role === "switch") &&
          positions.some((_, at) => {
            const there = engine.where([[{ control: id, positions: position(machine, id, at) }]]);
            return (
              !engine.isEmpty(there) &&
              loads.every((load) => {
                const { a, b } = machine.loads[load]!;
                return engine.isEmpty(engine.and(there, engine.or(tiedLive(a), tiedLive(b))));
              })
            );
          }),
      );
    }

    /** A protector that feels all of these loads and, open, takes them off the live side. */
    function liveSideTwin({ contact, loads }: LeftLive): Contact | undefined {
      if (!isThermalProtector(contact)) return undefined;
      return machine.contacts.find(
        (other) =>
          other.id !== contact.id &&
          isThermalProtector(other) &&
          loads.every((id) => {
            const { a, b } = machine.loads[id]!;
            const feels = !hasHeater(machine, [id]) || senses(machine, other, machine.loads[id]!);
            const off = engine.not(engine.closed(other.id));
            return (
              feels && !engine.isEmpty(off) && engine.isEmpty(engine.and(off, engine.or(tiedLive(a), tiedLive(b))))
            );
          }),
      );
    }

    function staysLive(loads: readonly LoadId[]): string {
      return `${list(loads.map((id) => loadName(machine, id)))} ${verb(loads.length, "stays", "stay")} live`;
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
        what: `The plug fits both ways round: one way, ${list(loads.map((id) => loadName(machine, id)))} ${verb(loads.length, "stays", "stay")} live while off.`,
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

/** Sensors and built-in protectors open by themselves: nobody opens them to work on the machine. */
function isNoOffSwitch(machine: Machine, contact: Contact): boolean {
  return contact.role === "built-in-protector" || machine.parts[contact.part]!.kind === "sensor";
}

function isChangeoverCam(machine: Machine, contact: Contact): boolean {
  return contact.partner !== undefined && machine.programs.some(({ part }) => part === contact.part);
}

function hasHeater(machine: Machine, loads: readonly LoadId[]): boolean {
  return loads.some((id) => machine.loads[id]!.kind === "heater");
}
