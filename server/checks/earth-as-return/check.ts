/** A load whose current comes back through the protective earth. */
import type { Load } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { anyOf, energised, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { loadName, related, relatedOnce, terminalName } from "../words.ts";

export const earthAsReturn: Check = {
  id: "earth-as-return",
  gravity: "error",
  title: "A load that uses the ground as its return",
  *run({ engine, machine, report }) {
    const earths = machine.supply.legs.flatMap(({ role }, leg) => (role === "protective" ? [leg] : []));
    if (earths.length === 0) return;
    for (const load of machine.loads) {
      yield;
      const touching = anyOf(
        engine,
        earths.flatMap((leg) => [engine.tied(load.a, leg), engine.tied(load.b, leg)]),
      );
      if (engine.isEmpty(touching) || !fedFromLegs(engine, load)) continue;
      const state = engine.witness(engine.and(energised(engine, load.id), touching));
      if (!state) continue;
      const earthed = earths.some((leg) => engine.has(engine.tied(load.a, leg), state)) ? load.a : load.b;
      report({
        place: load.namePlace,
        what: `${loadName(machine, load.id)} returns its current through the ground, at ${terminalName(machine, earthed)}.`,
        why: "The ground must carry no current in normal use: if it breaks anywhere, all metal tied to it stands at line volts.",
        advice: `Wire ${terminalName(machine, earthed)} to the neutral or the other leg that the machine's own sheet shows.`,
        state: shown(engine, state),
        related: relatedOnce(load.namePlace, [
          related(machine.terminals[earthed]!.place, "this end is tied to the ground"),
        ]),
      });
    }
  },
};

/**
 * The load can be reached from a leg by contacts and other loads without going through the ground: else it hangs on the secondary of
 * a transformer, whose ground carries no current.
 */
function fedFromLegs(engine: Engine, load: Load): boolean {
  const { circuit } = engine;
  const { machine, jointOf, loadA, loadB, contactA, contactB, jointCount } = circuit;
  if (machine.transformers.length === 0) return true;
  const earth = new Set(
    machine.supply.legs.flatMap(({ role, terminal }) => (role === "protective" ? [jointOf[terminal]!] : [])),
  );
  const legs = new Set(
    machine.supply.legs.map(({ terminal }) => jointOf[terminal]!).filter((joint) => !earth.has(joint)),
  );
  const reached = new Uint8Array(jointCount);
  const queue = [loadA[load.id]!, loadB[load.id]!].filter((joint) => !earth.has(joint));
  for (const joint of queue) reached[joint] = 1;
  for (let joint = queue.pop(); joint !== undefined; joint = queue.pop()) {
    if (legs.has(joint)) return true;
    const visit = (a: number, b: number): void => {
      const next = a === joint ? b : b === joint ? a : undefined;
      if (next === undefined || reached[next] === 1 || earth.has(next)) return;
      reached[next] = 1;
      queue.push(next);
    };
    for (const { id, closed } of machine.contacts) if (closed.length > 0) visit(contactA[id]!, contactB[id]!);
    for (const { id, impedance } of machine.loads)
      if (id !== load.id && impedance.some((z) => z !== undefined)) visit(loadA[id]!, loadB[id]!);
  }
  return false;
}
