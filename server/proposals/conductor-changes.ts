/** What conductors carry at worst, before and after a rewire. */
import type { ShownState } from "../base/finding.ts";
import { shown } from "../checks/ask.ts";
import { notHumming, wireAmps } from "../checks/currents.ts";
import { applianceLeadAmps } from "../checks/tables/conductors.ts";
import { isCutShort } from "../checks/unproved.ts";
import type { MachineState, Wire } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { sameAmount } from "./same-finding.ts";

/** All wires of one size and insulation, by the one of them that carries most. */
export interface ConductorChange {
  /** `16 AWG`, `10 AWG 150 C`. */
  readonly size: string;
  /** Its ends; of the changed machine where it carries more there. */
  readonly wire: string;
  /** Worst amps before and after; undefined where there is no such wire. */
  readonly before?: number;
  readonly after?: number;
  /** What a lead of this size is good for inside an appliance, A. */
  readonly limit?: number;
  readonly state?: ShownState;
}

/**
 * Sizes, not single wires: where a chain is cut and by what ends it is told does not matter to what it stands.
 *
 * @param open gets the sizes of which the worst was not worked out to the end
 */
export function* conductorChanges(
  base: Engine,
  changed: Engine,
  open: Set<string>,
): Generator<void, ConductorChange[]> {
  const [before, after] = [yield* worstBySize(base, open), yield* worstBySize(changed, open)];
  return [...new Set([...before.keys(), ...after.keys()])].flatMap((size): ConductorChange[] => {
    const [x, y] = [before.get(size), after.get(size)];
    if (sameAmount(x?.amps ?? 0, y?.amps ?? 0)) return [];
    const worse = y !== undefined && y.amps > (x?.amps ?? 0);
    const [engine, shows] = worse ? [changed, y] : [base, x!];
    const { a, b, area, insulation } = shows.wire;
    const ends = [a, b].map((id) => engine.circuit.machine.terminals[id]!.fullName);
    const limit = applianceLeadAmps(area!, insulation)?.amps;
    return [
      {
        size,
        wire: ends.join(" to "),
        ...(x && { before: x.amps }),
        ...(y && { after: y.amps }),
        ...(limit !== undefined && { limit }),
        ...(shows.state && { state: shown(engine, shows.state) }),
      },
    ];
  });
}

interface WorstWire {
  readonly wire: Wire;
  readonly amps: number;
  readonly state?: MachineState;
}

/** Of every size the wire that carries most; humming motors are told by their own check. Wires in rings have no current of their own. */
function* worstBySize(engine: Engine, open: Set<string>): Generator<void, Map<string, WorstWire>> {
  const worst = new Map<string, WorstWire>();
  const care = notHumming(engine);
  for (const wire of engine.circuit.machine.wires) {
    if (wire.area === undefined || wire.kind !== "wire") continue;
    const found = wireAmps(engine, wire.id, care);
    const { largest } = found;
    const size = `${wire.sizeText}${wire.insulation === undefined ? "" : ` ${wire.insulation} C`}`;
    const amps = largest?.value ?? 0;
    if (isCutShort(found)) open.add(`wires of ${size}`);
    const known = worst.get(size);
    if (!known || amps > known.amps) worst.set(size, { wire, amps, ...(largest && { state: largest.state }) });
    yield;
  }
  return worst;
}
