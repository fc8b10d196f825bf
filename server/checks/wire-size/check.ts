/** A wire inside the machine that is too thin for its current. */
import type { Wire, WireId } from "../../machine/machine.ts";
import type { Extremes } from "../../states/engine.ts";
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { notHumming, wireAmps } from "../currents.ts";
import { applianceLeadAmps, FREE_AIR } from "../tables/conductors.ts";
import { largestInWords, unproved, unprovedWords } from "../unproved.ts";
import { amps, related, relatedOnce, terminalName } from "../words.ts";

export const wireSize: Check = {
  id: "wire-size",
  gravity: "warning",
  title: "A wire too thin for its current",
  *run({ engine, machine, report }) {
    const sized = machine.wires.filter(({ area, kind }) => area !== undefined && kind === "wire");
    if (sized.length === 0) return;
    const care = notHumming(engine);
    const currents = new Map<WireId, Extremes>();
    // One finding for a run of wires alike: chains share their size.
    const worst = new Map<string, Wire>();
    const open = new Map<string, Wire[]>();
    for (const wire of sized) {
      yield;
      const limit = applianceLeadAmps(wire.area!, wire.insulation);
      if (!limit) continue;
      const found = wireAmps(engine, wire.id, care);
      currents.set(wire.id, found);
      const key = `${wire.sizeText} ${wire.insulation} ${found.largest?.value.toFixed(3)}`;
      if (found.largest && found.largest.value > limit.amps * (1 + 1e-6)) {
        if (!worst.has(key)) worst.set(key, wire);
      } else if (unproved(engine, found, limit.amps * (1 + 1e-6))) open.set(key, [...(open.get(key) ?? []), wire]);
    }
    for (const [wire, ...alike] of open.values()) {
      if (!wire) continue;
      const found = currents.get(wire.id)!;
      const limit = amps(applianceLeadAmps(wire.area!, wire.insulation)!.amps);
      const subject = `The ${wire.sizeText ?? "thin"} wire from ${terminalName(machine, wire.a)} to ${terminalName(machine, wire.b)}`;
      const ends = relatedOnce(wire.place, [
        related(machine.terminals[wire.a]!.place, `from ${terminalName(machine, wire.a)}`),
        related(machine.terminals[wire.b]!.place, `to ${terminalName(machine, wire.b)}`),
        ...alike.map(({ place, a, b }) =>
          related(place, `the same of the wire from ${terminalName(machine, a)} to ${terminalName(machine, b)}`),
        ),
      ]);
      report(
        found.largest === undefined && found.bound === undefined
          ? {
              gravity: "information",
              place: wire.place,
              what: `${subject} could not be judged: other wires join the same points, so that no current of this one alone can be told.`,
              why: `How the current divides between them is not written; the limit of this one is ${limit}.`,
              advice:
                "Take out a wire that stands in the text twice; where the machine really has two, each must stand the whole current.",
              related: ends,
            }
          : { ...unprovedWords(subject, "carries", found, limit, amps), place: wire.place, related: ends },
      );
    }
    for (const wire of worst.values()) {
      const carried = currents.get(wire.id)!;
      const limit = applianceLeadAmps(wire.area!, wire.insulation)!;
      report({
        place: wire.place,
        what: `The ${wire.sizeText ?? "thin"} wire from ${terminalName(machine, wire.a)} to ${terminalName(machine, wire.b)} carries ${largestInWords(carried, amps)}; a lead of this size${wire.insulation ? "" : " without stated insulation"} is good for ${amps(limit.amps)}.`,
        why: `Thin wire runs hot and its insulation chars. (${FREE_AIR.source}; leads inside an appliance, not building wire.)`,
        advice: wire.insulation
          ? "Fit a thicker wire."
          : "Fit a thicker wire, or, if its insulation stands more heat, write that behind its size, such as 150 C.",
        state: shown(engine, carried.largest!.state),
        related: relatedOnce(wire.place, [
          related(machine.terminals[wire.a]!.place, `from ${terminalName(machine, wire.a)}`),
          related(machine.terminals[wire.b]!.place, `to ${terminalName(machine, wire.b)}`),
        ]),
      });
      yield;
    }
  },
};
