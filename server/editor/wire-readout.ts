/** One stretch of wire: what it joins, and the most it was seen to carry. */

import { formatWireSize } from "../../grammar/quantity.ts";
import { notHumming, wireAmps } from "../checks/currents.ts";
import { isProved, rangeInWords, upToInWords } from "../checks/unproved.ts";
import type { WireId } from "../machine/machine.ts";
import { amount } from "./amounts.ts";
import { type Fact, type Readout, stateWords, stillWorking } from "./readout.ts";
import type { MachineView } from "./view.ts";

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
    const found = wireAmps(engine, id, notHumming(engine));
    const { largest, bound } = found;
    if (largest && largest.value > 0)
      facts.push({
        name: "carries",
        text: `${upToInWords(found, amount.amps)} steady; with ${stateWords(engine, largest.state)}`,
      });
    else if (isProved(found)) facts.push({ name: "carries", text: "no current in any state" });
    else if (bound !== undefined)
      facts.push({ name: "carries", text: `not known: ${rangeInWords(found, amount.amps)}` });
    else facts.push({ name: "carries", text: "not known: more than one wire joins the same points" });
  }
  return { name: ends.join(" to "), what: wire.kind, facts };
}
