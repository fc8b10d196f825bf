/** One stretch of wire: what it joins, and the most it was seen to carry. */

import { formatWireSize } from "../../grammar/quantity.ts";
import { largestWireAmps, worstStates } from "../checks/currents.ts";
import type { MachineState, WireId } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { type Fact, type Readout, stateWords, stillWorking } from "./readout.ts";
import type { MachineView } from "./view.ts";

const known = new WeakMap<Engine, readonly MachineState[]>();

/** The states in which loads and contacts are worst, worked out once per analysis. */
function statesToLookAt(engine: Engine): readonly MachineState[] {
  const before = known.get(engine);
  if (before) return before;
  const run = worstStates(engine);
  let next = run.next();
  while (!next.done) next = run.next();
  known.set(engine, next.value);
  return next.value;
}

export function wireReadout({ machine, engine }: MachineView, id: WireId): Readout {
  const wire = machine.wires[id]!;
  const ends = [wire.a, wire.b].map((terminal) => machine.terminals[terminal]!.fullName);
  const facts: Fact[] = [];
  const made = [
    wire.colour,
    wire.sizeText ?? (wire.area === undefined ? undefined : formatWireSize(wire.area)),
    wire.insulation === undefined ? undefined : `${wire.insulation} °C insulation`,
    wire.length === undefined ? undefined : `${wire.length} m`,
  ].filter((text) => text !== undefined);
  if (made.length > 0) facts.push({ name: "made of", text: made.join(", ") });
  if (!engine) facts.push(stillWorking);
  else {
    const found = largestWireAmps(engine, [wire], statesToLookAt(engine)).get(id);
    if (found) {
      facts.push({ name: "carries", text: `up to ${amount.amps(found.amps)} where its loads draw most` });
      facts.push({ name: "carries most", text: stateWords(engine, found.state) });
    } else facts.push({ name: "carries", text: "no current in the states where its loads draw most" });
  }
  return { name: ends.join(" to "), what: wire.kind, facts };
}
