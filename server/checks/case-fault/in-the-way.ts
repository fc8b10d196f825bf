/** Which of the contacts that are open keep a load off: what a person would have to close for it to work. */
import type { Override } from "../../circuit/circuit.ts";
import { voltsAcross } from "../../circuit/solve.ts";
import type { Contact, ContactId, Load, MachineState } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";

/** Of more contacts at once that have to close nobody reads; all are named then. */
const MOST_TOGETHER = 3;

/**
 * Of the open contacts those that belong to a smallest set of which closing all feeds the load: of two throws of a changeover that is in the
 * middle both, of one that stands on the other side none. All of them where no set of up to three does.
 */
export function inTheWay(
  engine: Engine,
  load: Load,
  state: MachineState,
  open: readonly Contact[],
): readonly Contact[] {
  if (open.length <= 1) return open;
  for (let size = 1; size <= Math.min(MOST_TOGETHER, open.length); size++) {
    const feeding = setsOf(open, size).filter((set) => isFed(engine, load, state, set));
    if (feeding.length > 0) return open.filter((contact) => feeding.some((set) => set.includes(contact)));
  }
  return open;
}

function isFed({ circuit }: Engine, load: Load, state: MachineState, closed: readonly Contact[]): boolean {
  const contacts = new Map<ContactId, Override>(closed.map(({ id }) => [id, { as: "closed" }]));
  if (load.ratedVolts === undefined) return false;
  const volts = voltsAcross(circuit, state, load.id, { contacts });
  return volts !== undefined && volts >= load.ratedVolts * load.scale.weak;
}

function setsOf<T>(things: readonly T[], size: number): T[][] {
  if (size === 0) return [[]];
  return things.flatMap((thing, at) => setsOf(things.slice(at + 1), size - 1).map((rest) => [thing, ...rest]));
}
