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
  const ways: TerminalId[][] = [
    [],
    ...[a, b].sort((x, y) => leadsAt(machine, x).length - leadsAt(machine, y).length).map((x) => [x]),
    [a, b],
  ];
  let last: Isolated | undefined;
  for (const lift of ways) {
    if (lift.some((terminal) => leadsAt(machine, terminal).length === 0) && lift.length === 1) continue;
    last = { lift, reading: expectedOhms(circuit, state, a, b, lift) };
    if (alone(last.reading)) return last;
  }
  return last!;
}
