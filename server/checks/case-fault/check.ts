/** A heater that touches its grounded sheath part way and heats past its open contacts. */
import { magnitude } from "../../circuit/measure.ts";
import { solveState } from "../../circuit/solve.ts";
import type { Load, Machine, MachineState } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { anyOf, shown, supplyOn } from "../ask.ts";
import type { Check } from "../check.ts";
import { amps, contactName, list, loadName, percent, related, relatedOnce, watts } from "../words.ts";

/** Where along the heater the fault is put. */
const SHARES = [0.25, 0.5, 0.75, 1];
/** Below this share of its watts a heater past its open contacts is not told. Trade judgement, no published source. */
const LEAST_SHARE = 0.1;

interface Fault {
  readonly share: number;
  readonly watts: number;
  readonly amps: number;
  readonly state: MachineState;
}

export const caseFault: Check = {
  id: "case-fault",
  gravity: "information",
  title: "A heater that would heat through its sheath with its contacts open",
  phase: "later",
  *run({ engine, machine, report }) {
    const lives = machine.supply.legs.flatMap(({ role }, leg) => (role === "live" ? [leg] : []));
    const on = supplyOn(engine);
    for (const load of machine.loads) {
      if (load.kind !== "heater" || !grounded(engine, machine, load)) continue;
      let worst: Fault | undefined;
      for (const end of [load.a, load.b]) {
        yield;
        const held = engine.and(
          engine.and(on, engine.when(load.id, ["off"])),
          anyOf(
            engine,
            lives.map((leg) => engine.tied(end, leg)),
          ),
        );
        const state = engine.witness(engine.and(held, engine.not(engine.shorted())));
        if (!state) continue;
        for (const share of SHARES) {
          const fault = faultAt(engine, load, end === load.a ? share : 1 - share, state);
          if (fault && (!worst || fault.watts > worst.watts)) worst = fault;
        }
      }
      if (!worst || load.ratedWatts === undefined) continue;
      const open = machine.contacts.filter(({ id }) => {
        const { state } = worst!;
        return !engine.has(engine.closed(id), state) && !engine.isEmpty(engine.inSeries(id, load.id));
      });
      const breaker = machine.supply.breakerAmps;
      report({
        place: load.namePlace,
        what: `If the coil of ${loadName(machine, load.id)} touches its sheath, it heats at up to ${watts(worst.watts)} (${percent(worst.watts / load.ratedWatts)}) with ${list(open.map(({ id }) => contactName(machine, id)))} open: one end stays on a live leg.`,
        why: `The current, ${amps(worst.amps)}, runs to ground past every contact on the other side${breaker !== undefined && worst.amps <= breaker ? `, and the ${amps(breaker)} breaker does not trip` : ""}.`,
        advice:
          "With a heater that heats when it should be off, measure from each of its ends to its sheath, unplugged: anything but open means a new heater. A contact in each leg would stop it.",
        state: shown(engine, worst.state),
        related: relatedOnce(
          load.namePlace,
          open.map((c) => related(c.namePlace, `${c.name} is open and does not help`)),
        ),
      });
    }
  },
};

/** True when the metal round the load is tied to the ground or neutral by wire, so that a fault has a way back. */
function grounded(engine: Engine, machine: Machine, load: Load): boolean {
  const { jointOf } = engine.circuit;
  const frame = machine.parts[load.part]!.frame;
  const back = machine.supply.legs.filter(({ role }) => role !== "live").map(({ terminal }) => jointOf[terminal]);
  if (frame === undefined) return machine.supply.legs.some(({ role }) => role === "protective");
  return back.includes(jointOf[frame]);
}

function faultAt(engine: Engine, load: Load, share: number, state: MachineState): Fault | undefined {
  const solution = solveState(engine.circuit, state, {
    overrides: { loads: new Map([[load.id, { as: "to-case", share, ohms: 0.001 }]]) },
  });
  const current = solution.caseAmps.get(load.id);
  const power = solution.loadWatts[load.id]!;
  if (!current || !Number.isFinite(power) || load.ratedWatts === undefined || power < load.ratedWatts * LEAST_SHARE)
    return undefined;
  const size = magnitude(current);
  // A fault that trips the breaker at once is a short, and told by it.
  if (
    engine.circuit.machine.supply.breakerAmps !== undefined &&
    size > engine.circuit.machine.supply.breakerAmps * 1.25
  )
    return undefined;
  return { share, watts: power, amps: size, state };
}
