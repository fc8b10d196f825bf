/** Loads that stop working, or get too much, when the supply is at its limits or is 120/208 V instead of 120/240 V. */
import { type Edit, edit } from "../../machine/edit.ts";
import type { Load, Machine, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, FULL, less, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { limitsFor } from "../tables/supply-limits.ts";
import { alike, MOST_LOOKS, meantVolts, twinsOf, voltsOf } from "../weak-states.ts";
import { list, loadName, related, relatedOnce, verb, volts } from "../words.ts";

/** Classes begin at bounds such as 110 %; a supply limit that lies on the bound is not past it. */
const INSIDE = 0.999;

interface Case {
  readonly name: string;
  /** In a list of what was looked at. */
  readonly short: string;
  readonly edits: readonly Edit[];
  readonly class: "weak" | "over";
}

export const supplyLimits: Check = {
  id: "supply-limits",
  gravity: "information",
  title: "Loads that fail when the supply is at its limits, or is 120/208 V",
  phase: "later",
  *run({ engine, machine, analyse, report, looked }) {
    if (!analyse || !machine.supply.stated) return;
    for (const one of casesOf(machine)) {
      yield;
      const changed = yield* analyse(edit(machine, one.edits));
      const hit: { id: number; state: Uint8Array }[] = [];
      for (const load of machine.loads) {
        yield;
        if (
          load.ratedVolts === undefined ||
          load.kind === "capacitor" ||
          load.kind === "resistor" ||
          load.kind === "start-winding"
        )
          continue;
        if (
          !engine.isEmpty(engine.when(load.id, [one.class])) ||
          engine.isEmpty(engine.when(load.id, ["works", "over"]))
        )
          continue;
        const twins = anyOf(
          changed,
          twinsOf(machine, load).map((twin) => changed.when(twin, FULL)),
        );
        const hitIn = less(changed, changed.when(load.id, [one.class]), twins);
        const state = unmeant(engine, changed, load, hitIn);
        if (state) hit.push({ id: load.id, state });
      }
      const first = hit[0];
      const missing = changed.covered().missing;
      looked(
        one.short,
        missing.map((sentence) => `with ${one.short}: ${sentence}`),
      );
      if (first)
        report({
          place: machine.supply.place,
          what: `${one.name}, ${list(hit.map(({ id }) => loadName(machine, id)))} ${verb(hit.length, "gets", "get")} too ${one.class === "weak" ? "few volts to work" : "many volts"}.`,
          why: `It works on the bench and fails in a house at the end of a long line.${missing.length > 0 ? " Not every state was looked at." : ""}`,
          advice: "Measure the supply under load before blaming the part.",
          state: shown(changed, first.state),
          related: relatedOnce(
            machine.supply.place,
            hit.map(({ id }) =>
              related(machine.loads[id]!.namePlace, `made for ${volts(machine.loads[id]!.ratedVolts!)}`),
            ),
          ),
        });
      else if (missing.length > 0)
        report({
          place: machine.supply.place,
          what: `${one.name}, not every state was looked at: ${missing.join(" ")}`,
          why: "A load that fails then may have been missed.",
          advice: "Look at the loads with small margins by hand.",
          related: [],
        });
    }
  },
};

/** A state of the region in which the load's volts at the nominal supply are not reduced on purpose (`also at`). */
function unmeant(engine: Engine, changed: Engine, load: Load, region: Region): MachineState | undefined {
  let left = region;
  for (let look = 0; look < MOST_LOOKS; look++) {
    const state = changed.witness(left);
    if (!state || load.alsoAt.length === 0 || !meantVolts(load, voltsOf(engine, load.id, state))) return state;
    left = less(changed, left, alike(changed, state));
  }
  return changed.witness(left);
}

function casesOf(machine: Machine): Case[] {
  const { supply } = machine;
  const { value, source, mark } = limitsFor(supply.frequency);
  const from = `${source}, ${mark === "memory" ? "from memory" : mark}`;
  const nominal = Math.max(...supply.legs.map(({ volts: v }) => Math.hypot(v.re, v.im)));
  const low = 1 - (1 - value.lowest) * INSIDE;
  const high = 1 + (value.highest - 1) * INSIDE;
  const cases: Case[] = [
    {
      name: `With the supply at its lower limit (${volts(nominal * value.lowest)}; ${from})`,
      short: "the supply at its lower limit",
      edits: [{ edit: "scale-supply", by: low }],
      class: "weak",
    },
    {
      name: `With the supply at its upper limit (${volts(nominal * value.highest)}; ${from})`,
      short: "the supply at its upper limit",
      edits: [{ edit: "scale-supply", by: high }],
      class: "over",
    },
  ];
  const second = supply.legs.filter(({ role }) => role === "live")[1];
  if (supply.form === "split" && second) {
    const angle = (120 * Math.PI) / 180;
    const size = Math.hypot(second.volts.re, second.volts.im);
    cases.push({
      name: "On 120/208 V instead of 120/240 V, as in many apartment houses",
      short: "120/208 V instead of 120/240 V",
      edits: [
        {
          edit: "change-leg",
          terminal: second.terminal,
          volts: { re: size * Math.cos(angle), im: size * Math.sin(angle) },
        },
      ],
      class: "weak",
    });
  }
  return cases;
}
