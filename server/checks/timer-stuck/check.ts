/** A timer step that keeps loads on and from which the timer's own motor never drives on. */
import { anyOf, coversAll, energised, position, positionsIn, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { list, loadName, related, relatedOnce } from "../words.ts";

export const timerStuck: Check = {
  id: "timer-stuck",
  gravity: "warning",
  title: "A timer step that the timer never leaves by itself",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    if (!coversAll(engine)) return;
    for (const program of machine.programs) {
      const { drive } = program;
      if (drive === undefined) continue;
      const control = machine.controls[program.control]!;
      const driven = engine.when(drive, ["works", "over"]);
      // A step in which nothing works is a rest.
      const working = anyOf(
        engine,
        machine.loads.filter(({ kind }) => kind !== "resistor").map(({ id }) => energised(engine, id)),
      );
      yield;
      const drivenAt = positionsIn(engine, driven, control);
      const workingAt = positionsIn(engine, working, control);
      const stuck = [...control.positions.keys()].filter(
        (step) =>
          workingAt[step] === 1 &&
          drivenAt[step] === 0 &&
          // A step with every contact of the timer open is an end or a rest, not a trap.
          !program.rows.every(({ cells }) => cells[step] === "-" || cells[step] === undefined),
      );
      if (stuck.length === 0) continue;
      const first = stuck[0]!;
      const here = engine.where([[{ control: control.id, positions: position(machine, control.id, first) }]]);
      const on = machine.loads.filter(({ id }) => !engine.isEmpty(engine.and(here, energised(engine, id))));
      const state = engine.witness(
        engine.and(
          here,
          anyOf(
            engine,
            on.map(({ id }) => energised(engine, id)),
          ),
        ),
      );
      const load = machine.loads[drive]!;
      report({
        place: program.place,
        what: `${control.name} never gets past ${list(stuck.map((step) => control.positions[step]!.name))}: its own motor is not fed there in any state.`,
        why: `${list(on.map(({ id }) => loadName(machine, id)))} would stay on until somebody turns the dial.`,
        advice: `Check which contact feeds ${load.name} in this step.`,
        ...(state ? { state: shown(engine, state) } : {}),
        related: relatedOnce(program.place, [related(load.namePlace, "the motor that should drive it on")]),
      });
    }
  },
};
