/** A capacitor that keeps its charge when contacts open round it, with nothing to bleed it. */
import type { Load, Machine } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { energised, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { loadName } from "../words.ts";

/** Below this the charge is felt but harmless: IEC 60335-1, 22.5 asks from 0.1 uF up; from memory. Farad. */
const LEAST_FARADS = 0.1e-6;

export const capacitorHoldsCharge: Check = {
  id: "capacitor-holds-charge",
  gravity: "information",
  title: "A capacitor that nothing discharges",
  *run({ engine, machine, report }) {
    for (const load of machine.loads) {
      if (load.kind !== "capacitor" || (load.capacitance ?? 0) < LEAST_FARADS) continue;
      yield;
      const charged = energised(engine, load.id);
      const state = engine.witness(charged);
      if (!state || bleeds(engine, machine, load)) continue;
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} keeps its charge when the contacts round it open: nothing bleeds it.`,
        why: "It can bite hours after the plug was pulled, and a fall from the shock does more harm than the shock.",
        advice:
          "Unplug, then discharge it through a resistor of some kilohms before touching it; if it has a bleed resistor, write bleeds with its ohms.",
        state: shown(engine, state),
        related: [],
      });
    }
  },
};

/** Lets direct current through: a capacitor only with a bleed resistor of its own. */
function conducts({ kind, impedance }: Load): boolean {
  return impedance.some((z) => z !== undefined && (kind !== "capacitor" || z.re > 0));
}

/** A bleed resistor of its own, or, with every contact open, a way through windings, heaters or resistors from one end to the other. */
function bleeds(engine: Engine, machine: Machine, capacitor: Load): boolean {
  if (conducts(capacitor)) return true;
  const { loadA, loadB, jointCount } = engine.circuit;
  const reached = new Uint8Array(jointCount);
  const queue = [loadA[capacitor.id]!];
  reached[queue[0]!] = 1;
  for (let joint = queue.pop(); joint !== undefined; joint = queue.pop()) {
    for (const load of machine.loads) {
      if (load.id === capacitor.id || !conducts(load)) continue;
      const a = loadA[load.id]!;
      const b = loadB[load.id]!;
      const next = a === joint ? b : b === joint ? a : undefined;
      if (next === undefined || reached[next] === 1) continue;
      reached[next] = 1;
      queue.push(next);
    }
  }
  return reached[loadB[capacitor.id]!] === 1;
}
