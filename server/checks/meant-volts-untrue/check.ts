/** Reduced volts that the text says are meant (`also at`, `through`), and that no state of the machine shows. */
import type { Place } from "../../base/place.ts";
import type { Solution } from "../../circuit/circuit.ts";
import { magnitude } from "../../circuit/measure.ts";
import { solveState } from "../../circuit/solve.ts";
import type { Condition, Load, LoadId, Machine, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { coversAll, energised, less, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { alike, meantVolts, voltsOf } from "../weak-states.ts";
import { loadName, partName, related, volts } from "../words.ts";

/** Kinds of state that are looked at for one statement; with more left nothing is said. */
const MOST_LOOKS = 300;

export const meantVoltsUntrue: Check = {
  id: "meant-volts-untrue",
  gravity: "warning",
  title: "Reduced volts that the text states and no state shows",
  *run({ engine, machine, report }) {
    if (!coversAll(engine)) return;
    for (const load of machine.loads) {
      if (load.alsoAt.length + load.through.length === 0 || !load.known) continue;
      yield;
      const on = energised(engine, load.id);
      // Never energised at all: told as that.
      if (engine.isEmpty(on)) continue;
      for (const at of load.alsoAt) {
        const one = { ...load, alsoAt: [at] };
        const search = yield* look(engine, on, (state) => meantVolts(one, voltsOf(engine, load.id, state)));
        if (search !== "none") continue;
        const { largest, smallest, exact } = engine.extreme({ of: "load-volts", load: load.id }, on);
        const besides = exact ? "" : ", as far as was looked";
        report({
          place: at.place,
          what: `${loadName(machine, load.id)} never gets ${volts(at.volts)}, though the text says that it works at that as well.`,
          why: `The word hides findings about weak volts of this load. ${smallest && largest && largest.value - smallest.value > 0.5 ? `It gets ${volts(smallest.value)} to ${volts(largest.value)}${besides}.` : largest ? `It gets ${volts(largest.value)}${besides}.` : ""}`.trim(),
          advice: `Take out also at ${volts(at.volts)}, or look for the contact that should put ${load.name} on those volts.`,
          ...(largest ? { state: shown(engine, largest.state) } : {}),
          related: [related(load.namePlace, `${load.name} is described here`)],
        });
      }
      for (const { others, when, place } of claims(machine, load)) {
        const care = when.length === 0 ? on : engine.and(on, engine.where(when));
        const search = yield* look(engine, care, (state) =>
          others.some((other) => runsThrough(engine, load, other, state)),
        );
        if (search !== "none") continue;
        const state = engine.witness(care);
        const other = others[0]!;
        const part = machine.parts[machine.loads[other]!.part]!;
        const [name, short] =
          others.length === 1 ? [loadName(machine, other), machine.loads[other]!.name] : [partName(part), part.name];
        report({
          place,
          what: state
            ? `${loadName(machine, load.id)} never gets its current through ${name}${when.length === 0 ? "" : " in the states named here"}, though the text says so.`
            : `${loadName(machine, load.id)} is never on in the states named here, so it does not get its current through ${name}.`,
          why: "The word hides findings about weak volts of this load.",
          advice: `Take it out, or follow the wires of ${load.name} against the machine's own sheet: one of them should lead to ${short}.`,
          ...(state ? { state: shown(engine, state) } : {}),
          related: [
            related(load.namePlace, `${load.name} is described here`),
            related(
              others.length === 1 ? machine.loads[other]!.namePlace : part.namePlace,
              `${short}, which it should run through`,
            ),
          ],
        });
      }
    }
  },
};

/** Whether some state of the region passes: `some`, `none`, or `open` when there were too many kinds of state. */
function* look(
  engine: Engine,
  region: Region,
  passes: (state: MachineState) => boolean,
): Generator<void, "some" | "none" | "open"> {
  let left = region;
  for (let count = 0; count < MOST_LOOKS; count++) {
    const state = engine.witness(left);
    if (!state) return "none";
    if (passes(state)) return "some";
    left = less(engine, left, alike(engine, state));
    yield;
  }
  return engine.isEmpty(left) ? "none" : "open";
}

interface Claim {
  /** The loads of the part that is named: a motor is run through when one of its windings is. */
  readonly others: readonly LoadId[];
  readonly when: Condition;
  readonly place: Place;
}

/** What each `through` says, one claim for each part that it names. */
function claims(machine: Machine, load: Load): Claim[] {
  const found = new Map<string, Claim & { readonly others: LoadId[] }>();
  for (const { load: other, when, place } of load.through) {
    const key = `${place.file} ${place.from} ${machine.loads[other]!.part}`;
    const claim = found.get(key) ?? { others: [], when, place };
    claim.others.push(other);
    found.set(key, claim);
  }
  return [...found.values()];
}

/**
 * With the other load open, less than half of the load's volts are left; or at least half of the load's current goes through the other one:
 * that is what the other one's current changes by when the load is opened.
 */
function runsThrough(engine: Engine, load: Load, other: LoadId, state: MachineState): boolean {
  const before = engine.solve(state);
  const without = (id: LoadId) =>
    solveState(engine.circuit, state, { overrides: { loads: new Map([[id, { as: "open" }]]) } });
  const volts = difference(without(other).loadVolts, undefined, load.id);
  if (!(volts >= difference(before.loadVolts, undefined, load.id) / 2)) return true;
  const shared = difference(before.loadAmps, without(load.id).loadAmps, other);
  return shared >= difference(before.loadAmps, undefined, load.id) / 2;
}

type Phasors = Solution["loadAmps"];

function difference(from: Phasors, less: Phasors | undefined, load: LoadId): number {
  return magnitude({
    re: from.re[load]! - (less?.re[load] ?? 0),
    im: from.im[load]! - (less?.im[load] ?? 0),
  });
}
