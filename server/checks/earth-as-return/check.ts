/** A load whose current comes back through the protective earth. */
import { buildCircuit } from "../../circuit/build.ts";
import type { Circuit } from "../../circuit/circuit.ts";
import { solveState } from "../../circuit/solve.ts";
import { surroundings } from "../../circuit/surroundings.ts";
import { edit } from "../../machine/edit.ts";
import type { LoadId, Machine, MachineState, TerminalId } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, energised, less, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { alikeFor } from "../weak-states.ts";
import { loadName, partName, related, relatedOnce, terminalName } from "../words.ts";

/** Kinds of state of one load that are looked at. */
const MOST_LOOKS = 64;

export const earthAsReturn: Check = {
  id: "earth-as-return",
  gravity: "error",
  title: "A load that uses the ground as its return",
  hangsOn: "structure",
  *run({ engine, machine, report, amountsDecide }) {
    const { legs } = machine.supply;
    const earths = legs.flatMap(({ role }, leg) => (role === "protective" ? [leg] : []));
    if (earths.length === 0) return;
    const grounded = (terminal: TerminalId): Region =>
      anyOf(
        engine,
        earths.map((leg) => engine.tied(terminal, leg)),
      );
    let cut: Circuit | undefined;
    for (const load of machine.loads) {
      yield;
      const [a, b] = [grounded(load.a), grounded(load.b)];
      let left = engine.and(engine.or(a, b), energised(engine, load.id));
      for (let look = 0; ; look++) {
        const state = engine.witness(left);
        if (!state) break;
        amountsDecide();
        if (look === MOST_LOOKS) {
          report({
            gravity: "information",
            place: load.namePlace,
            what: `${loadName(machine, load.id)} has an end on the ground in more kinds of state than could be looked at; in ${MOST_LOOKS} of them its current does not return through the ground.`,
            why: "The search was cut short there, so that nothing more being said is no all-clear.",
            advice: "Trace its current from one end to the other by hand: it must not need the ground wire.",
            related: [related(machine.supply.place, `the supply, ${machine.supply.text}`)],
          });
          break;
        }
        cut ??= withoutGround(machine);
        if (needsGround(engine, cut, load.id, state)) {
          const earthed = engine.has(a, state) ? load.a : load.b;
          tell(loadName(machine, load.id), "its current", load.namePlace, earthed, state);
          break;
        }
        yield;
        const same = engine.and(
          alikeFor(engine, load.id, state),
          alikeFor(engine, load.id, state, surroundings(cut, state, load.id)),
        );
        left = less(engine, left, same);
      }
    }
    // The primary of a transformer is no load; straight between a leg and the ground it draws its current through the ground all the same.
    for (const { part, primary } of machine.transformers)
      for (const [earthed, other] of [primary, [primary[1], primary[0]]] as const) {
        const fed = anyOf(
          engine,
          legs.flatMap(({ role }, leg) => (role === "live" ? [engine.tied(other, leg)] : [])),
        );
        const neutral = anyOf(
          engine,
          legs.flatMap(({ role }, leg) => (role === "neutral" ? [engine.tied(earthed, leg)] : [])),
        );
        const state = engine.witness(less(engine, engine.and(grounded(earthed), fed), neutral));
        const { namePlace } = machine.parts[part]!;
        if (state) tell(partName(machine.parts[part]!), "the current of its primary", namePlace, earthed, state);
      }

    function tell(
      name: string,
      current: string,
      place: Machine["place"],
      earthed: TerminalId,
      state: MachineState,
    ): void {
      report({
        place,
        what: `${name} returns ${current} through the ground, at ${terminalName(machine, earthed)}.`,
        why: "The ground must carry no current in normal use: if it breaks anywhere, all metal tied to it stands at line volts.",
        advice: `Wire ${terminalName(machine, earthed)} to the neutral or the other leg that the machine's own sheet shows.`,
        state: shown(engine, state),
        related: relatedOnce(place, [related(machine.terminals[earthed]!.place, "this end is tied to the ground")]),
      });
    }
  },
};

/** The machine with every bond, and every wire that ends on the ground of the supply, taken out. */
function withoutGround(machine: Machine): Circuit {
  const earths = new Set(
    machine.supply.legs.flatMap(({ role, terminal }) => (role === "protective" ? [terminal] : [])),
  );
  const taken = machine.wires.filter(({ kind, a, b }) => kind === "bond" || earths.has(a) || earths.has(b));
  // Wires are numbered anew after each one taken out: from the last to the first.
  const edits = taken.map(({ id }) => ({ edit: "remove-wire" as const, wire: id })).reverse();
  return buildCircuit(edit(machine, edits));
}

/** Without the ground the load loses at least half its current. The secondary of a transformer that is bonded at one end loses none. */
function needsGround(engine: Engine, cut: Circuit, load: LoadId, state: MachineState): boolean {
  const amps = ({ loadAmps: { re, im } }: ReturnType<typeof solveState>): number => Math.hypot(re[load]!, im[load]!);
  const now = amps(engine.solve(state));
  return !(amps(solveState(cut, state)) > now / 2);
}
