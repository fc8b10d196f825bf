/** What happens between two states at rest: every order of relays, and every order of the cams of one step. */
import { conditionHolds } from "../../../../server/circuit/condition.ts";
import type { LoadId, MachineState } from "../../../../server/machine/machine.ts";
import { inputMoves } from "../../../oracle/input-moves.ts";
import type { FoundState } from "../../../oracle/walk.ts";
import type { Facts, Plain } from "./plain.ts";

/** More contacts than this that move in one step are not tried in every order. */
const MOST_MOVING = 12;

interface Passage {
  readonly before: MachineState;
  readonly rests: readonly MachineState[];
  readonly moving: readonly FoundState[];
}

export function moments(plain: Plain, facts: Facts): void {
  const { machine } = plain;
  const all = plain.walk.atRest.flatMap((number) => passagesFrom(plain, number));
  relays(plain, all, facts);
  for (const { control, repeats } of machine.programs) cams(plain, control, repeats, facts);
  directions(plain, all, facts);
}

/** Each input move from a state at rest, with all that is passed on the way to the next rest. */
function passagesFrom({ walk }: Plain, number: number): Passage[] {
  return walk.found[number]!.next.map((start) => {
    const moving = new Map<number, FoundState>();
    const rests: MachineState[] = [];
    const waiting = [start];
    for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
      if (moving.has(at)) continue;
      const found = walk.found[at]!;
      if (found.atRest) rests.push(walk.stateOf(at).slice());
      else {
        moving.set(at, found);
        waiting.push(...found.next);
      }
    }
    return { before: walk.stateOf(number).slice(), rests, moving: [...moving.values()] };
  });
}

/** Two relays change places, and on the way two legs are tied together. */
function relays({ machine, walk }: Plain, all: readonly Passage[], facts: Facts): void {
  const coils = machine.controls.filter(({ rule }) => rule?.rule === "coil").map(({ id }) => id);
  for (const { before, rests, moving } of all) {
    if (before[machine.supply.control] !== 0 || !moving.some(({ look }) => look.shorted)) continue;
    if (walk.looks.of(before).shorted) continue;
    const swap = coils.some((one) =>
      coils.some((other) => one !== other && before[one] === 1 && rests.some((rest) => rest[other] === 1)),
    );
    if (!swap) continue;
    // Where either relay pulled in before and after, either may be blamed, or neither.
    const plainly = coils.some((one) =>
      coils.some(
        (other) => before[one] === 1 && before[other] === 0 && rests.some((r) => r[one] === 0 && r[other] === 1),
      ),
    );
    if (plainly) facts.add("relays-bridge");
    else facts.allow("relays-bridge");
  }
}

/** From one step to the next: any of the contacts that change have moved already, a changeover breaking before it makes. */
function cams(plain: Plain, control: number, repeats: boolean, facts: Facts): void {
  const { machine, circuit } = plain;
  const { positions } = machine.controls[control]!;
  const joined = (closed: (id: number) => boolean): boolean => {
    const group = plain.paint(closed);
    return machine.supply.legs.some((a, i) =>
      machine.supply.legs.some(
        (b, j) =>
          i < j &&
          Math.hypot(a.volts.re - b.volts.re, a.volts.im - b.volts.im) >= 1 &&
          group[circuit.legJoint[i]!] === group[circuit.legJoint[j]!],
      ),
    );
  };
  const seen = new Set<string>();
  for (const { state, look } of plain.rests) {
    const to = state[control]! + 1;
    if (look.shorted || (to === positions.length && !repeats)) continue;
    const next = state.slice();
    next[control] = to % positions.length;
    const moves = inputMoves(machine, state, look.classes);
    if (!moves.some((move) => move.control.id === control && move.position === next[control])) continue;
    const was = machine.contacts.map(({ closed }) => conditionHolds(closed, state));
    const will = machine.contacts.map(({ closed }) => conditionHolds(closed, next));
    const key = `${was} ${will}`;
    if (seen.has(key)) continue;
    seen.add(key);
    const moving = machine.contacts.map(({ id }) => id).filter((id) => was[id] !== will[id]);
    if (moving.length > MOST_MOVING || joined((id) => was[id]!)) continue;
    for (let choice = 1; choice < (1 << moving.length) - 1; choice++) {
      const moved = (id: number): boolean => ((choice >> moving.indexOf(id)) & 1) === 1;
      const closed = (id: number): boolean => (moving.includes(id) && moved(id) ? will[id]! : was[id]!);
      const both = machine.contacts.some(
        ({ id, partner }) => partner !== undefined && moving.includes(id) && closed(id) && closed(partner),
      );
      if (both || !joined(closed)) continue;
      if (joined((id) => will[id]!)) facts.allow("cams-bridge");
      else facts.add("cams-bridge");
      break;
    }
  }
}

const OPPOSITE = [
  ["left", "right"],
  ["hold", "release"],
];

function directions(plain: Plain, all: readonly Passage[], facts: Facts): void {
  const { machine, walk, circuit } = plain;
  const across = (group: Int32Array, id: LoadId): boolean =>
    machine.supply.legs.some((a, i) =>
      machine.supply.legs.some(
        (b, j) =>
          Math.hypot(a.volts.re - b.volts.re, a.volts.im - b.volts.im) >= 1 &&
          group[circuit.loadA[id]!] === group[circuit.legJoint[i]!] &&
          group[circuit.loadB[id]!] === group[circuit.legJoint[j]!],
      ),
    );
  const live = (state: MachineState, id: LoadId): boolean =>
    state[machine.supply.control] === 0 && across(plain.groupOf(walk.looks.of(state)), id);
  for (const part of machine.parts)
    for (const one of part.loads)
      for (const other of part.loads) {
        const words = [one, other].map((id) => machine.loads[id]!.name.slice(part.name.length + 1));
        const high = words[0] === "high" && words[1] === "low";
        if (!high && !OPPOSITE.some(([a, b]) => a === words[0] && b === words[1])) continue;
        if (plain.rests.some((r) => r.fed && across(r.group, one) && across(r.group, other)))
          facts.add("opposed-loads", part.name);
        // Both for a moment, while relays or cams move, is told as a warning of the same check.
        for (const { before, rests, moving } of all)
          for (const [from, to] of [
            [one, other],
            [other, one],
          ] as const) {
            if (!live(before, from) || live(before, to) || !rests.some((rest) => live(rest, to) && !live(rest, from)))
              continue;
            facts.allow("opposed-loads", part.name);
            if (moving.some(({ look }) => across(plain.groupOf(look), one) && across(plain.groupOf(look), other)))
              facts.add("opposed-loads", part.name);
            if (!high) facts.add("reverses-without-pause", part.name);
          }
      }
  turnedRound(plain, facts);
}

/** A motor that runs one way though, started from rest with all else so, it would only turn the other way. */
function turnedRound(plain: Plain, facts: Facts): void {
  const { machine } = plain;
  for (const { id, rule, part } of machine.controls) {
    if (rule?.rule !== "motor" || rule.leftSign === undefined) continue;
    const key = (state: MachineState): string => [...state].map((at, control) => (control === id ? 0 : at)).join();
    const both = new Set(plain.rests.filter(({ state }) => state[id] === 2).map(({ state }) => key(state)));
    for (const { state } of plain.rests) {
      if (state[id] !== 3 || !both.has(key(state))) continue;
      // Two states at rest that differ in the direction alone: one of them was not started so.
      facts.add("reverses-without-pause", machine.parts[part]!.name);
      return;
    }
  }
}
