/**
 * A long random stroll through a machine too large to walk through: single input changes, each settled in a random order. What it
 * passes is a part of what is reachable, and everything seen on the way must be what an engine tells of every state. MEANING.md, "Moves".
 */
import type { Circuit } from "../../server/circuit/circuit.ts";
import type { MachineState } from "../../server/machine/machine.ts";
import type { Change } from "../../server/states/engine.ts";
import { inputMoves } from "./input-moves.ts";
import { type Look, Looks } from "./looks.ts";
import { disagreeing } from "./target.ts";

export interface Seen {
  readonly state: MachineState;
  readonly look: Look;
}

/** So many settling moves without rest are taken for chatter. */
const RESTLESS = 60;

export class Stroll {
  readonly looks: Looks;
  readonly #circuit: Circuit;
  readonly #random: (below: number) => number;

  /** @param random whole numbers from 0, below what is given */
  constructor(circuit: Circuit, random: (below: number) => number) {
    this.#circuit = circuit;
    this.looks = new Looks(circuit);
    this.#random = random;
  }

  /** Where it begins: the resting vector settled. Undefined when that does not come to rest. */
  start(): Seen | undefined {
    const rest = Uint8Array.from(this.#circuit.machine.controls, (control) => control.rest);
    return this.#settle(rest).at(-1);
  }

  /**
   * One input change and the settling that follows: the states passed, the one at rest before the change first, one at rest last.
   * Undefined when nothing can move; empty when it does not come to rest.
   */
  move(from: Seen): readonly Seen[] | undefined {
    const moves = inputMoves(this.#circuit.machine, from.state, from.look.classes);
    if (moves.length === 0) return undefined;
    // Every control is as likely as another, however many positions it has.
    const controls = [...new Set(moves.map(({ control }) => control))];
    const control = controls[this.#random(controls.length)]!;
    const ways = moves.filter((one) => one.control === control);
    const { position } = ways[this.#random(ways.length)]!;
    const state = from.state.slice();
    state[control.id] = position;
    const passed = this.#settle(state);
    return passed.length === 0 ? passed : [from, ...passed];
  }

  #settle(first: MachineState): Seen[] {
    const passed: Seen[] = [];
    for (let state = first; passed.length < RESTLESS; ) {
      const look = this.looks.of(state);
      passed.push({ state, look });
      const open = disagreeing(this.#circuit, state, look);
      if (open.length === 0) return passed;
      const { control, target } = open[this.#random(open.length)]!;
      state = state.slice();
      state[control] = target;
    }
    return [];
  }
}

/** Whether a series of changes is one that the machine allows, each from rest, and can end in the state. */
export function leadsTo(looks: Looks, path: readonly Change[], state: MachineState): boolean {
  const { circuit } = looks;
  const outcomes = (starts: readonly MachineState[]): MachineState[] => {
    const seen = new Set<string>();
    const resting: MachineState[] = [];
    const open = [...starts];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      const key = at.join();
      if (seen.has(key)) continue;
      seen.add(key);
      const moves = disagreeing(circuit, at, looks.of(at));
      if (moves.length === 0) resting.push(at);
      for (const { control, target } of moves) {
        const next = at.slice();
        next[control] = target;
        open.push(next);
      }
    }
    return resting;
  };
  let now = outcomes([Uint8Array.from(circuit.machine.controls, (control) => control.rest)]);
  for (const { control, position } of path) {
    const moved = now.flatMap((at) => {
      const allowed = inputMoves(circuit.machine, at, looks.of(at).classes);
      if (!allowed.some((one) => one.control.id === control && one.position === position)) return [];
      const next = at.slice();
      next[control] = position;
      return [next];
    });
    now = outcomes(moved);
  }
  return now.some((at) => at.every((position, control) => position === state[control]));
}
