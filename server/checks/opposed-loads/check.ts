/** Two windings or coils of one part that exclude each other, live together: at rest, or for a moment while contacts move. */
import { conditionHolds } from "../../circuit/condition.ts";
import type { MachineState } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { seriesContacts, shown, shownAfter } from "../ask.ts";
import type { Check } from "../check.ts";
import {
  acrossLegs,
  fedDirectly,
  groupsOf,
  type OpposedPair,
  opposedPairs,
  type Passage,
  passages,
} from "../opposed.ts";
import { contactName, controlName, list, loadName, related, relatedOnce } from "../words.ts";

export const opposedLoads: Check = {
  id: "opposed-loads",
  gravity: "error",
  title: "Two windings or coils that exclude each other, live at once",
  hangsOn: "structure",
  *run({ engine, machine, report, amountsDecide }) {
    for (const pair of opposedPairs(machine)) {
      amountsDecide();
      yield;
      const [one, other] = [fedDirectly(engine, pair.one), fedDirectly(engine, pair.other)];
      const state = engine.witness(engine.and(one, other));
      const names = `${loadName(machine, pair.one)} and ${loadName(machine, pair.other)}`;
      const load = machine.loads[pair.one]!;
      const places = relatedOnce(load.namePlace, [
        related(machine.loads[pair.other]!.namePlace, `${machine.loads[pair.other]!.name} is live at the same time`),
        ...(state
          ? [...seriesContacts(engine, pair.one, state), ...seriesContacts(engine, pair.other, state)]
          : []
        ).map((id) => related(machine.contacts[id]!.namePlace, `${machine.contacts[id]!.name} feeds one of them`)),
      ]);
      if (state) {
        report({
          place: load.namePlace,
          what: `${names} get the line at the same time, though one works against the other.`,
          why: "Both burn: each works against the other, and the currents of the two add up in what feeds them.",
          advice:
            "Feed them through the two throws of one changeover, so that one cannot have the line while the other has it.",
          state: shown(engine, state),
          related: places,
        });
        continue;
      }
      let told = false;
      for (const [from, to] of [
        [one, other],
        [other, one],
      ] as const) {
        if (told) break;
        for (const passage of passages(engine, from, to)) {
          if (passage === undefined) {
            yield;
            continue;
          }
          const moment = bothLive(engine, pair, passage);
          if (!moment) continue;
          told = true;
          const control = machine.controls[passage.control]!;
          report({
            gravity: "warning",
            place: load.namePlace,
            what: `${names} get the line together for a moment, when ${controlName(machine, control)} goes to ${control.positions[passage.to]!.name}: ${list(moment.map((id) => contactName(machine, id)))} can close before the others open.`,
            why: "Contacts and relays never move at quite the same time; in that moment one works against the other, and the contacts burn.",
            advice:
              "Put a pause or an interlock between: a contact that lets the second one come on only once the first has dropped out.",
            state: shownAfter(engine, passage.before, passage.moving[0] ?? passage.before),
            related: places,
          });
          break;
        }
      }
    }
  },
};

/** Contacts newly closed in a moment in which both have the line; undefined when there is none. */
function bothLive(engine: Engine, pair: OpposedPair, { before, control, to, moving }: Passage): number[] | undefined {
  const { machine } = engine.circuit;
  const holds = (id: number, state: MachineState): boolean => conditionHolds(machine.contacts[id]!.closed, state);
  const both = (closed: (id: number) => boolean): boolean => {
    const groups = groupsOf(engine, closed);
    return acrossLegs(engine, groups, pair.one) && acrossLegs(engine, groups, pair.other);
  };
  const fresh = (closed: (id: number) => boolean): number[] =>
    machine.contacts.map(({ id }) => id).filter((id) => closed(id) && !holds(id, before));
  // Relays and motors one after the other.
  for (const state of moving) {
    const closed = (id: number): boolean => holds(id, state);
    if (state[machine.supply.control] === 0 && both(closed)) return fresh(closed);
  }
  // Cams of one timer step in any order; a changeover breaks before it makes.
  if (!machine.programs.some((program) => program.control === control)) return undefined;
  const after = before.slice();
  after[control] = to;
  const swaps = machine.contacts.filter(
    ({ id, partner }) =>
      partner !== undefined &&
      !holds(id, before) &&
      holds(id, after) &&
      holds(partner, before) &&
      !holds(partner, after),
  );
  if (swaps.length > 10) return undefined;
  for (let choice = 0; choice < 1 << swaps.length; choice++) {
    const moved = new Map<number, boolean>();
    swaps.forEach(({ id, partner }, at) => {
      moved.set(id, ((choice >> at) & 1) === 1);
      moved.set(partner!, ((choice >> at) & 1) === 1);
    });
    const closed = (id: number): boolean => {
      const has = moved.get(id);
      return has === undefined ? holds(id, before) || holds(id, after) : holds(id, has ? after : before);
    };
    if (both(closed)) return fresh(closed);
  }
  return undefined;
}
