/** A gas valve that opens while nothing says that the gas is lit: the sensor that watches the igniter is cold, or no igniter heats. */
import type { Control, Machine, Part } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, energised, less, shown, wayOpen } from "../ask.ts";
import type { Check } from "../check.ts";
import { isGasValve } from "../hazards.ts";
import { list, partName, related, relatedOnce, verb } from "../words.ts";

export const gasUnlit: Check = {
  id: "gas-unlit",
  gravity: "error",
  title: "Gas that flows while nothing has lit it",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    const igniters = machine.loads.filter(({ kind }) => kind === "igniter");
    if (igniters.length === 0) return;
    const watchers = machine.controls.filter((control) => isWarmedByIgniter(machine, control));
    // What lights the gas behind a board's terminals, and how long after, is not known.
    if (watchers.length === 0 && machine.parts.some(({ kind }) => kind === "board")) return;
    const lit = anyOf(
      engine,
      watchers.length > 0
        ? watchers.map((control) =>
            engine.where([[{ control: control.id, positions: hotPositions(machine, control) }]]),
          )
        : igniters.map(({ id }) => energised(engine, id)),
    );
    for (const part of machine.parts) {
      if (!isGasValve(machine, part)) continue;
      yield;
      const state = engine.witness(less(engine, flows(engine, part), lit));
      if (!state) continue;
      const names = watchers.map(({ part: id }) => partName(machine.parts[id]!));
      const heaters = igniters.map(({ part: id }) => partName(machine.parts[id]!));
      report({
        place: part.namePlace,
        what:
          watchers.length > 0
            ? `${partName(part)} lets gas flow while ${list(names)} ${verb(names.length, "is", "are")} cold: nothing has lit it.`
            : `${partName(part)} lets gas flow while ${list(heaters)} ${verb(heaters.length, "is", "are")} off: nothing lights it.`,
        why: "Unlit gas gathers in the machine and the room, and the next spark or hot igniter sets it off at once.",
        advice: `Do not run the machine. Follow what feeds the coils of ${part.name}: one of them must get its volts only ${watchers.length > 0 ? `once ${list(names)} ${verb(names.length, "has", "have")} opened or changed over` : "through the igniter"}. Work on gas is for licensed people where the law says so.`,
        state: shown(engine, state),
        related: relatedOnce(part.namePlace, [
          ...watchers.map(({ part: id, place }) => related(place, `${machine.parts[id]!.name} is cold in this state`)),
          ...igniters.map(({ namePlace, name }) => related(namePlace, `${name} lights it`)),
        ]),
      });
    }
  },
};

function flows(engine: Engine, part: Part): Region {
  const seats = part.controls.filter((id) => engine.circuit.machine.controls[id]!.role === "valve");
  if (seats.length > 0) return wayOpen(engine, seats);
  return anyOf(
    engine,
    part.loads.map((load) => engine.when(load, ["works", "over"])),
  );
}

/** Sensors that only an igniter makes hot. */
function isWarmedByIgniter({ loads }: Machine, { settled, changes = [] }: Control): boolean {
  return !settled && changes.some(({ needs = [] }) => needs.flat().some(({ load }) => loads[load]!.kind === "igniter"));
}

/** The positions that it takes by being warmed. */
function hotPositions({ loads }: Machine, { positions, changes = [] }: Control): Uint8Array {
  const hot = new Uint8Array(positions.length);
  for (const { needs = [], to } of changes)
    if (needs.flat().some(({ load }) => loads[load]!.kind === "igniter"))
      to.forEach((here, at) => {
        if (here === 1) hot[at] = 1;
      });
  return hot;
}
