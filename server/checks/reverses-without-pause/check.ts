/** A motor that is to turn the other way while it still turns: nothing happens, or it is braked by the line. */
import type { ControlId, LoadId, MachineState } from "../../machine/machine.ts";
import type { ControlMatch, Engine, Region } from "../../states/engine.ts";
import { momentsFrom } from "../../states/moments.ts";
import { less, position, shown, shownAfter } from "../ask.ts";
import type { Check } from "../check.ts";
import { fedDirectly, opposedPairs, passages } from "../opposed.ts";
import { alike } from "../weak-states.ts";
import { controlName, loadName, partName, related, relatedOnce } from "../words.ts";

/** Different states of one motor that are looked at. */
const MOST_LOOKS = 16;

export const reversesWithoutPause: Check = {
  id: "reverses-without-pause",
  gravity: "warning",
  title: "A motor that is reversed while it still runs",
  *run({ engine, machine, report }) {
    for (const control of machine.controls) {
      const { rule } = control;
      if (rule?.rule !== "motor" || rule.leftSign === undefined) continue;
      yield;
      const against = turnsAgainst(engine, control.id);
      if (!against) continue;
      const part = machine.parts[control.part]!;
      const capacitorRun = stillFed(engine, rule.starts, against.state);
      report({
        place: part.namePlace,
        what: `${partName(part)} is switched to turn ${against.asked} while it still turns ${against.turns}: no position between stops it first.`,
        why: capacitorRun
          ? "Its windings then pull the other way at full speed: it draws its starting current until it has stopped, and jerks the drive."
          : "Once it runs, its start winding is out of circuit, so turning that round does nothing: it goes on the way it was turning.",
        advice: "Put a pause between, a step or a position in which the motor is off long enough to stand still.",
        state: shown(engine, against.state),
        related: relatedOnce(
          part.namePlace,
          [...rule.mains, ...rule.starts].map((id) => related(machine.loads[id]!.namePlace, machine.loads[id]!.name)),
        ),
      });
    }
    for (const { one, other, turns } of opposedPairs(machine)) {
      if (!turns || machine.loads[one]!.kind === "coil") continue;
      for (const passage of passages(engine, ...both(one, other))) {
        if (passage === undefined) {
          yield;
          continue;
        }
        const load = machine.loads[one]!;
        const control = machine.controls[passage.control]!;
        const after = passage.before.slice();
        after[passage.control] = passage.to;
        report({
          place: load.namePlace,
          what: `One change, ${controlName(machine, control)} to ${control.positions[passage.to]!.name}, goes from ${loadName(machine, one)} straight to ${loadName(machine, other)}, with no pause in which the motor stands still.`,
          why: "It is reversed while it still turns: it draws its starting current until it has stopped, and jerks the drive.",
          advice: "Put a pause between, a step or a position in which both are off long enough for it to stand still.",
          state: shownAfter(engine, passage.before, after),
          related: relatedOnce(load.namePlace, [related(machine.loads[other]!.namePlace, "the other direction")]),
        });
        break;
      }
    }

    function both(one: LoadId, other: LoadId): [Region, Region] {
      // Both at once is told by opposed-loads.
      const [a, b] = [fedDirectly(engine, one), fedDirectly(engine, other)];
      return [less(engine, a, b), less(engine, b, a)];
    }
  },
};

/**
 * A state in which the motor runs one way, though with all else standing so a motor at rest would have started the other way. The
 * machine only gets there by being reversed while the motor runs.
 */
function turnsAgainst(
  engine: Engine,
  control: ControlId,
): { readonly state: MachineState; readonly turns: string; readonly asked: string } | undefined {
  const { machine } = engine.circuit;
  const [left, right] = [2, 3].map((at) => engine.where([[{ control, positions: position(machine, control, at) }]]));
  if (engine.isEmpty(left!) || engine.isEmpty(right!) || !engine.translated) return undefined;
  const allElse = new Map<ControlId, ControlMatch>(
    machine.controls
      .filter(({ id }) => id !== control)
      .map(({ id, positions }) => [id, { control: id, positions: positions.map((_, at) => at) }]),
  );
  const words = ["left", "right"] as const;
  for (const [from, to, at] of [
    [right!, left!, 0],
    [left!, right!, 1],
  ] as const) {
    let there = engine.and(engine.translated(from, allElse), to);
    for (let look = 0; look < MOST_LOOKS; look++) {
      const state = engine.witness(there);
      if (!state) break;
      const stopped = state.slice();
      stopped[control] = 0;
      const starts = momentsFrom(engine.circuit, stopped).rests.map((rest) => rest[control]);
      if (starts.includes(3 - at) && !starts.includes(2 + at))
        return { state, turns: words[at], asked: words[1 - at]! };
      there = less(engine, there, alike(engine, state));
    }
  }
  return undefined;
}

function stillFed(engine: Engine, starts: readonly LoadId[], state: MachineState): boolean {
  return starts.some((id) => engine.has(engine.when(id, ["weak", "works", "over"]), state));
}
