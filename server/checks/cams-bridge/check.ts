/** Cams of one timer step do not move together: contacts that close before others open can tie two legs together. */

import { magnitude } from "../../circuit/measure.ts";
import { solveState } from "../../circuit/solve.ts";
import { neighboursOf } from "../../circuit/surroundings.ts";
import type { Contact, ContactId, ControlId, Machine, MachineState, TimerProgram } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { less, shown } from "../ask.ts";
import { changeovers, contactsMoving, type MovingContact, movable } from "../changes.ts";
import type { Check } from "../check.ts";
import { contactName, list, related, relatedOnce, terminalName, verb } from "../words.ts";

/** Changeovers that move in one step, of which every order is looked at: two to the power of them. More are looked at as if each could bridge. */
const MOST_CHANGEOVERS = 8;

interface Bridge {
  readonly state: MachineState;
  /** Contacts of the short that had to close early, and those that had not opened yet. */
  readonly early: readonly ContactId[];
  readonly late: readonly ContactId[];
  readonly legs: readonly [number, number];
}

export const camsBridge: Check = {
  id: "cams-bridge",
  gravity: "error",
  title: "Timer contacts that short the supply for a moment between two steps",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    const told = new Set<string>();
    for (const program of machine.programs) {
      const control = machine.controls[program.control]!;
      for (const { step, next, bridge } of yield* bridgesOf(engine, program)) {
        const key = [...bridge.early, "before", ...bridge.late].join();
        if (told.has(key)) continue;
        told.add(key);
        const first = machine.contacts[bridge.early[0]!]!;
        const early = list(bridge.early.map((id) => contactName(machine, id)));
        const late = list(bridge.late.map((id) => machine.contacts[id]!.name));
        report({
          place: first.namePlace,
          what: `From ${control.name} in ${control.positions[step]!.name} to ${control.positions[next]!.name}, ${early} ${verb(bridge.early.length, "ties", "tie")} ${terminalName(machine, bridge.legs[0])} to ${terminalName(machine, bridge.legs[1])} if ${verb(bridge.early.length, "it closes", "they close")} before ${late} ${verb(bridge.late.length, "opens", "open")}.`,
          why: "Cams move one after the other, in no sure order: for a moment the supply is shorted, and the contact burns a little more each time.",
          advice:
            "Put a step between with these contacts open (a pause), or use a changeover contact, which breaks before it makes.",
          state: shown(engine, bridge.state),
          related: relatedOnce(first.namePlace, [
            ...[...bridge.early, ...bridge.late].map((id) =>
              related(
                machine.contacts[id]!.namePlace,
                `${machine.contacts[id]!.name} ${bridge.late.includes(id) ? "opens" : "closes"} in this step`,
              ),
            ),
            related(program.place, `the chart of ${control.name}`),
          ]),
        });
      }
    }
  },
};

interface BridgeAt {
  readonly step: number;
  readonly next: number;
  readonly bridge: Bridge;
}

/** Every step of the program in which legs can be bridged. Only contacts decide it, so it is worked out anew when one of those changes. */
function* bridgesOf(engine: Engine, program: TimerProgram): Generator<void, readonly BridgeAt[]> {
  const { machine } = engine.circuit;
  const said = [program.control, program.repeats, machine.contacts.map(({ partner }) => partner)];
  // A load without ohms is a wire to a short, and no contact.
  const wires = machine.loads.some(({ impedance }) => impedance.some((z) => z?.re === 0 && z.im === 0));
  const note = wires ? undefined : engine.noteAbout?.("contacts", `cams ${JSON.stringify(said)}`);
  const noted = note?.read() as readonly BridgeAt[] | undefined;
  if (noted) return noted;
  const steps = machine.controls[program.control]!.positions.length;
  const found: BridgeAt[] = [];
  for (let step = 0; step + 1 < steps + (program.repeats ? 1 : 0); step++) {
    yield;
    const next = (step + 1) % steps;
    if (!someOpenAndClose(machine, program.control, step, next)) continue;
    const bridge = bridgeBetween(engine, program.control, step, next);
    if (bridge) found.push({ step, next, bridge });
  }
  note?.write(found);
  return found;
}

/** Only a step in which one contact may close and another one open has anything in between. */
function someOpenAndClose(machine: Machine, control: ControlId, step: number, next: number): boolean {
  const allows = ({ closed }: Contact, at: number): boolean =>
    closed.some((clause) => clause.every((literal) => literal.control !== control || literal.positions[at] === 1));
  return (
    machine.contacts.some((c) => !allows(c, step) && allows(c, next)) &&
    machine.contacts.some((c) => allows(c, step) && !allows(c, next))
  );
}

/**
 * A short while the cams move from `step` to `next`, in any order of theirs. More closed contacts never undo a short, so that only
 * the fullest sets count: all that closes has closed, nothing has opened, and of each changeover either throw.
 */
function bridgeBetween(engine: Engine, control: ControlId, step: number, next: number): Bridge | undefined {
  const { machine } = engine.circuit;
  const care = less(engine, movable(engine, control, step, next), engine.shorted());
  if (engine.isEmpty(care)) return undefined;
  const moving = contactsMoving(engine, control, next);
  const changes = (id: ContactId): boolean => {
    const { before, after: then } = moving[id]!;
    if (before === then) return false;
    const [was, will] = [engine.and(care, before), engine.and(care, then)];
    return !engine.isEmpty(less(engine, was, will)) || !engine.isEmpty(less(engine, will, was));
  };
  const pairs = changeovers(machine).filter(([a, b]) => changes(a) || changes(b));
  // The state after, all having moved: legs-shorted tells a short there.
  const after = (legs: [number, number]): Region =>
    tiedBy(engine, care, legs, (c) => engine.and(care, moving[c.id]!.after));
  const choices = pairs.length > MOST_CHANGEOVERS ? 1 : 1 << pairs.length;
  for (const legs of livePairs(engine))
    for (let choice = 0; choice < choices; choice++) {
      const moved = new Map(
        pairs.length > MOST_CHANGEOVERS
          ? []
          : pairs.flatMap(([a, b], at): [ContactId, boolean][] => [
              [a, ((choice >> at) & 1) === 1],
              [b, ((choice >> at) & 1) === 1],
            ]),
      );
      const fullest = (c: Contact): Region => {
        const { before, after: then } = moving[c.id]!;
        const has = moved.get(c.id);
        return engine.and(care, has === undefined ? engine.or(before, then) : has ? then : before);
      };
      const tied = tiedBy(engine, care, legs, fullest);
      if (engine.isEmpty(tied)) continue;
      const state = engine.witness(less(engine, tied, after(legs)));
      const bridge = state && readBridge(engine, moving, moved, state);
      if (bridge) return bridge;
    }
  return undefined;
}

/** Legs with volts between them, by index. */
function livePairs(engine: Engine): [number, number][] {
  const { legs } = engine.circuit.machine.supply;
  return legs.flatMap((a, i) =>
    legs
      .slice(i + 1)
      .flatMap((b, j): [number, number][] =>
        magnitude({ re: a.volts.re - b.volts.re, im: a.volts.im - b.volts.im }) < 1 ? [] : [[i, i + 1 + j]],
      ),
  );
}

/** States of `care` in which contacts, closed in the states given for each, join the two legs. */
function tiedBy(engine: Engine, care: Region, [from, to]: [number, number], closed: (c: Contact) => Region): Region {
  const { contacts: contactsAt } = neighboursOf(engine.circuit);
  const { machine, contactA, contactB, legJoint } = engine.circuit;
  const regions = machine.contacts.map((c) => {
    const region = contactA[c.id] === contactB[c.id] ? engine.none() : closed(c);
    return engine.isEmpty(region) ? undefined : region;
  });
  const start = legJoint[from]!;
  const reached = new Map<number, Region>([[start, care]]);
  const waiting = new Set([start]);
  for (const near of waiting) {
    waiting.delete(near); // it comes back when more states reach it
    const there = reached.get(near)!;
    for (const id of contactsAt[near]!) {
      const far = contactA[id] === near ? contactB[id]! : contactA[id]!;
      const region = regions[id];
      if (region === undefined || far === start) continue;
      const come = engine.and(there, region);
      const before = reached.get(far);
      if (engine.isEmpty(before ? less(engine, come, before) : come)) continue;
      reached.set(far, before ? engine.or(before, come) : come);
      waiting.add(far);
    }
  }
  return reached.get(legJoint[to]!) ?? engine.none();
}

/** The contacts of the short in this state, told apart by how they move. */
function readBridge(
  engine: Engine,
  moving: readonly MovingContact[],
  moved: ReadonlyMap<ContactId, boolean>,
  state: MachineState,
): Bridge | undefined {
  const contacts = new Map<ContactId, { as: "closed" } | { as: "open" }>();
  for (const { contact, before, after } of moving) {
    const was = engine.has(before, state);
    const will = engine.has(after, state);
    const has = moved.get(contact.id);
    const is = has === undefined ? was || will : has ? will : was;
    if (is !== was) contacts.set(contact.id, { as: is ? "closed" : "open" });
  }
  const short = solveState(engine.circuit, state, { overrides: { contacts } }).shorts[0];
  if (!short) return undefined;
  const closes = short.contacts.filter((id) => !engine.has(moving[id]!.before, state));
  const opens = short.contacts.filter((id) => !engine.has(moving[id]!.after, state));
  if (closes.length === 0 || opens.length === 0) return undefined;
  return { state, early: closes, late: opens, legs: [short.legs[0], short.legs[1]] };
}
