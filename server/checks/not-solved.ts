/** States in which part of the circuit has no amounts: a diode with more than plain resistance behind it. No extreme counts them. */
import { Beside } from "../base/beside.ts";
import type { ContactId, LoadId, MachineState } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { energised, less } from "./ask.ts";
import { alike } from "./weak-states.ts";

export interface Unsolved {
  readonly diode: LoadId;
  readonly state: MachineState;
  /** What gets its current through the diode there. */
  readonly loads: readonly LoadId[];
  /** Closed contacts whose current is not told there. */
  readonly contacts: readonly ContactId[];
}

/** Kinds of state of one diode that are looked at. */
const MOST_LOOKS = 32;

const known = new Beside<Engine, readonly Unsolved[]>();

/** One for each kind of state in which a diode is not solved, as far as was looked. */
export function unsolved(engine: Engine): readonly Unsolved[] {
  const before = known.get(engine);
  if (before) return before;
  const { loads, contacts } = engine.circuit.machine;
  const found = loads
    .filter(({ kind }) => kind === "diode")
    .flatMap(({ id }): Unsolved[] => {
      const here: Unsolved[] = [];
      let left = energised(engine, id);
      for (let look = 0; look < MOST_LOOKS; look++) {
        const state = engine.witness(left);
        if (!state) break;
        const { notSolved, contactAmps } = engine.solve(state);
        const piece = notSolved.find((each) => each.why === "diode" && each.loads.includes(id));
        if (piece)
          here.push({
            diode: id,
            state,
            loads: piece.loads,
            contacts: contacts.flatMap(({ id: contact }) =>
              engine.has(engine.closed(contact), state) && Number.isNaN(contactAmps.re[contact]) ? [contact] : [],
            ),
          });
        left = less(engine, left, alike(engine, state));
      }
      return here;
    });
  known.set(engine, found);
  return found;
}
