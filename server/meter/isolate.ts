/** Which lead to take off so that the meter sees one part alone. */
import type { Circuit } from "../circuit/circuit.ts";
import type { LoadId, MachineState, TerminalId } from "../machine/machine.ts";
import { expectedOhms, leadsAt, type OhmsExpectation } from "./expected.ts";

export interface Isolated {
  /** Terminals whose leads come off: none, one, or both. */
  readonly lift: readonly TerminalId[];
  readonly reading: OhmsExpectation;
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
  const alone = ({ known, band, through, unknown }: OhmsExpectation): boolean =>
    (known && band.expected === Number.POSITIVE_INFINITY) || [...through, ...unknown].every((load) => load === only);
  const byLeads = (x: TerminalId, y: TerminalId): number => leadsAt(machine, x).length - leadsAt(machine, y).length;
  // A winding may go on inside the part, by a speed switch: then another lead of the part has to come off.
  const { terminals, frame } = machine.parts[machine.terminals[a]!.part]!;
  const others = terminals.filter((each) => each !== a && each !== b && each !== frame).sort(byLeads);
  const ways: TerminalId[][] = [[], ...[...[a, b].sort(byLeads), ...others].map((each) => [each]), [a, b]];
  let last: Isolated | undefined;
  for (const lift of ways) {
    if (lift.length === 1 && leadsAt(machine, lift[0]!).length === 0) continue;
    last = { lift, reading: expectedOhms(circuit, state, a, b, lift) };
    if (alone(last.reading)) return last;
  }
  return last!;
}
