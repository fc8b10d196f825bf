/** Loads that stop working, or get too much, when the supply is at its limits or is 120/208 V instead of 120/240 V. */
import { type Edit, edit } from "../../machine/edit.ts";
import type { Load, LoadId, Machine, MachineState } from "../../machine/machine.ts";
import type { Engine, LoadClass, Region } from "../../states/engine.ts";
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
      const loads = machine.loads.filter((load) => judged(load) && onlyThen(engine, load, one.class));
      const changed = edit(machine, one.edits);
      const there = fromVoltsAlone(engine, changed, loads, one.class) ?? inEngine(yield* analyse(changed), one.class);
      const hit: { id: number; state: Uint8Array }[] = [];
      for (const load of loads) {
        yield;
        const state = unmeant(engine, there.engine, load, there.hitIn(load));
        if (state) hit.push({ id: load.id, state });
      }
      const first = hit[0];
      const { missing } = there.engine.covered();
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
          state: shown(there.engine, first.state),
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

function judged({ ratedVolts, kind }: Load): boolean {
  return ratedVolts !== undefined && kind !== "capacitor" && kind !== "resistor" && kind !== "start-winding";
}

/** At the nominal supply the load works somewhere and is nowhere in the class. */
function onlyThen(engine: Engine, load: Load, one: LoadClass): boolean {
  return engine.isEmpty(engine.when(load.id, [one])) && !engine.isEmpty(engine.when(load.id, ["works", "over"]));
}

/** The machine at other volts: where each load is hit while no twin of it works, told by the engine. */
interface AtVolts {
  readonly engine: Engine;
  readonly hitIn: (load: Load) => Region;
}

function inEngine(engine: Engine, one: LoadClass): AtVolts {
  const { machine } = engine.circuit;
  const hitIn = (load: Load): Region => {
    const twins = twinsOf(machine, load).map((twin) => engine.when(twin, FULL));
    return less(engine, engine.when(load.id, [one]), anyOf(engine, twins));
  };
  return { engine, hitIn };
}

/** The same by the engine of the machine as it is, where that tells it of all of the loads: the same states can be reached then. */
function fromVoltsAlone(
  engine: Engine,
  { supply }: Machine,
  loads: readonly Load[],
  one: LoadClass,
): AtVolts | undefined {
  if (!engine.covered().complete) return undefined;
  const legs = supply.legs.map(({ volts: phasor }) => phasor);
  const regions = new Map<LoadId, Region>();
  for (const load of loads) {
    let region = engine.whenAt?.(load.id, [one], legs);
    if (!region) return undefined;
    for (const twin of engine.isEmpty(region) ? [] : twinsOf(engine.circuit.machine, load)) {
      const works = engine.whenAt?.(twin, FULL, legs);
      if (!works) return undefined;
      region = less(engine, region, works);
    }
    regions.set(load.id, region);
  }
  return { engine, hitIn: ({ id }) => regions.get(id)! };
}

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
