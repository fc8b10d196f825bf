/** A wire too thin for its current, and a cord too thin for its breaker. */
import type { Wire } from "../../machine/machine.ts";
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { largestWireAmps, worstStates } from "../currents.ts";
import { applianceLeadAmps, FREE_AIR } from "../tables/conductors.ts";
import { amps, related, relatedOnce, terminalName } from "../words.ts";

export const wireSize: Check = {
  id: "wire-size",
  gravity: "warning",
  title: "A wire too thin for its current",
  *run({ engine, machine, report }) {
    const sized = machine.wires.filter(({ area, kind }) => area !== undefined && kind === "wire");
    if (sized.length === 0) return;
    const states = yield* worstStates(engine);
    const currents = largestWireAmps(engine, sized, states);
    const worst = new Map<string, { wire: Wire; over: number }>();
    for (const wire of sized) {
      const found = currents.get(wire.id);
      const limit = applianceLeadAmps(wire.area!, wire.insulation);
      if (!found || !limit || found.amps <= limit.amps * (1 + 1e-6)) continue;
      // One finding for a run of wires alike: chains share their size.
      const key = `${wire.sizeText} ${wire.insulation} ${found.amps.toFixed(3)}`;
      if (!worst.has(key)) worst.set(key, { wire, over: found.amps });
    }
    for (const { wire } of worst.values()) {
      const found = currents.get(wire.id)!;
      const limit = applianceLeadAmps(wire.area!, wire.insulation)!;
      report({
        place: wire.place,
        what: `The ${wire.sizeText ?? "thin"} wire from ${terminalName(machine, wire.a)} to ${terminalName(machine, wire.b)} carries ${amps(found.amps)}; a lead of this size${wire.insulation ? "" : " without stated insulation"} is good for ${amps(limit.amps)}.`,
        why: `Thin wire runs hot and its insulation chars. (${FREE_AIR.source}; leads inside an appliance, not building wire.)`,
        advice: wire.insulation
          ? "Fit a thicker wire."
          : "Fit a thicker wire, or, if its insulation stands more heat, write that behind its size, such as 150 C.",
        state: shown(engine, found.state),
        related: relatedOnce(wire.place, [
          related(machine.terminals[wire.a]!.place, `from ${terminalName(machine, wire.a)}`),
          related(machine.terminals[wire.b]!.place, `to ${terminalName(machine, wire.b)}`),
        ]),
      });
      yield;
    }
  },
};
