/** A start winding that stays in circuit once the motor runs: it is wound for seconds. */
import { alwaysInSeries } from "../../circuit/series-loads.ts";
import type { Load, Machine, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { energised, less, position, seriesContacts, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { alikeFor, loadsInSeries } from "../weak-states.ts";
import { contactName, loadName, partName, related, relatedOnce } from "../words.ts";

/** Kinds of state of one winding that are looked at; a winding in more of them is told by the next one. */
const MOST_LOOKS = 64;

export const startWindingStays: Check = {
  id: "start-winding-stays",
  gravity: "warning",
  title: "A start winding that stays in circuit",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      if (!isForSeconds(machine, load)) continue;
      yield;
      const state = yield* staysIn(engine, load, engine.and(running(engine, load), energised(engine, load.id)));
      if (!state) continue;
      const motor = partName(machine.parts[load.part]!);
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} stays in circuit while ${motor} runs: nothing on its way opens once it is up to speed.`,
        why: "A start winding stands its current for seconds: it overheats and burns out, unless the motor's protector opens first.",
        advice:
          "Look for the contact that should take it out once the motor turns (speed switch, start relay, PTC): it is missing, bridged, welded or on the wrong terminal. If it is made to stay in, write the run capacitor in series, capacitor-run at the motor, or what flows in it (runs 0.6 A).",
        state: shown(engine, state),
        related: relatedOnce(
          load.namePlace,
          seriesContacts(engine, load.id, state).map((id) =>
            related(machine.contacts[id]!.namePlace, `${contactName(machine, id)} is closed here`),
          ),
        ),
      });
    }
  },
};

/** Wound for starting only, as far as is written: neither what flows in it while the motor runs is stated, nor a mark that it stays in. */
function isForSeconds({ parts, controls }: Machine, { kind, part, control, ratedAmps }: Load): boolean {
  const { marks } = parts[part]!;
  return (
    kind === "start-winding" &&
    control !== undefined &&
    controls[control]!.role === "motor" &&
    ratedAmps === undefined &&
    !marks.includes("capacitor-run") &&
    !marks.includes("impedance-protected")
  );
}

function running(engine: Engine, { control }: Load): Region {
  const { machine } = engine.circuit;
  const { positions } = machine.controls[control!]!;
  return engine.where(
    positions.flatMap((_, at) => (at < 2 ? [] : [[{ control: control!, positions: position(machine, control!, at) }]])),
  );
}

/** A state of the region in which neither a run capacitor nor a PTC keeps its current low. */
function* staysIn(engine: Engine, load: Load, region: Region): Generator<void, MachineState | undefined> {
  const { circuit } = engine;
  const { loads } = circuit.machine;
  const keepsLow = (id: number) =>
    (loads[id]!.kind === "capacitor" && loads[id]!.capacitorDuty !== "start") || loads[id]!.kind === "ptc";
  if (engine.isEmpty(region) || alwaysInSeries(circuit, load.id).some(keepsLow)) return undefined;
  let left = region;
  for (let look = 0; ; look++) {
    const state = engine.witness(left);
    if (!state || look === MOST_LOOKS) return state;
    if (!loadsInSeries(engine, load.id, state).some(keepsLow)) return state;
    yield;
    left = less(engine, left, alikeFor(engine, load.id, state));
  }
}
