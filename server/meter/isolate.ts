/** Which lead to take off so that the meter sees one part alone. */
import type { Circuit } from "../circuit/circuit.ts";
import { meterBetween } from "../circuit/measure.ts";
import type { LoadId, MachineState, TerminalId } from "../machine/machine.ts";
import { expectedOhms, leadsAt, liftedLeads, type OhmsExpectation, ohmsFrom } from "./expected.ts";

export interface Isolated {
  /** Terminals whose leads come off: none, one, or both. */
  readonly lift: readonly TerminalId[];
  /** What the meter then shows. */
  readonly reading: () => OhmsExpectation;
}

/** The fewest leads that leave nothing but `only` (a load, or nothing for a contact) between the points. */
export function isolate(
  circuit: Circuit,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  only: LoadId | undefined,
): Isolated {
  const { machine } = circuit;
  const expected = ohmsFrom(machine, "expected");
  const overrides = (lift: readonly TerminalId[]) => liftedLeads(machine, lift);
  const alone = (lift: readonly TerminalId[]): boolean => {
    const { known, ohms, through, unknown } = meterBetween(circuit, state, a, b, overrides(lift))(expected);
    return (known && ohms === Number.POSITIVE_INFINITY) || [...through, ...unknown].every((load) => load === only);
  };
  const reading = (lift: readonly TerminalId[]) => () => expectedOhms(circuit, state, a, b, lift);
  if (alone([])) return { lift: [], reading: reading([]) };
  const byLeads = (x: TerminalId, y: TerminalId): number => leadsAt(machine, x).length - leadsAt(machine, y).length;
  // A winding may go on inside the part, by a speed switch: then another lead of the part has to come off.
  const { terminals, frame } = machine.parts[machine.terminals[a]!.part]!;
  const others = terminals.filter((each) => each !== a && each !== b && each !== frame).sort(byLeads);
  const single = [...[a, b].sort(byLeads), ...others].filter((each) => leadsAt(machine, each).length > 0);
  const ways: TerminalId[][] = [...single.map((each) => [each]), [a, b]];
  const lift = ways.find(alone) ?? [a, b];
  return { lift, reading: reading(lift) };
}
