/** Breadth-first walk over every state from rest: MEANING.md, "Settled controls" and "Moves". */
import type { Circuit } from "../../server/circuit/circuit.ts";
import type { MachineState } from "../../server/machine/machine.ts";
import type { EngineOptions } from "../../server/states/engine.ts";
import { inputMoves } from "./input-moves.ts";
import { type Look, Looks } from "./looks.ts";
import { RowTable } from "./row-table.ts";
import { disagreeing } from "./target.ts";

export const DEFAULT_BUDGET = 50_000;

/** Solutions and states between two yields: a few milliseconds of work. */
const LOOKS_PER_JOB = 24;
const STATES_PER_JOB = 400;

export interface FoundState {
  readonly look: Look;
  readonly atRest: boolean;
  /** Place in `Walk.atRest`; -1 when not at rest. */
  readonly restPosition: number;
  /** Number of input moves that lead here. */
  readonly depth: number;
  /** The state at rest before the last input move; -1 when it came from the resting vector by settling alone. */
  readonly origin: number;
  /** States one step away: by settling when not at rest, by an input move when at rest. */
  readonly next: number[];
  /** False when a budget or cancellation left `next` incomplete. */
  expanded: boolean;
}

export class Walk {
  readonly looks: Looks;
  readonly table: RowTable;
  readonly found: FoundState[] = [];
  /** Numbers of the states at rest, nearest to rest first. */
  readonly atRest: number[] = [];
  complete = true;
  /** Why it is not complete. */
  missing = "";
  readonly #circuit: Circuit;
  readonly #budget: number;
  readonly #cancelled: () => boolean;

  constructor(circuit: Circuit, options: EngineOptions = {}) {
    this.#circuit = circuit;
    this.looks = new Looks(circuit);
    this.table = new RowTable(circuit.machine.controls.length);
    this.#budget = options.budget ?? DEFAULT_BUDGET;
    this.#cancelled = options.cancelled ?? (() => false);
  }

  /** The work, in short jobs. */
  *run(): Generator<void, void> {
    const { machine } = this.#circuit;
    let looks = 0;
    let states = 0;
    this.#add(
      Uint8Array.from(machine.controls, (control) => control.rest),
      0,
      -1,
    );
    // States are numbered in the order found, so that walking the numbers is breadth first in input moves as long as the
    // settling that follows one move comes before the next move: hence the two loops.
    let settledUpTo = 0;
    for (let rested = 0; ; rested++) {
      for (; settledUpTo < this.found.length && !this.#stopped(); settledUpTo++) this.#settle(settledUpTo);
      if (rested >= this.atRest.length || this.#stopped()) return;
      this.#moveInputs(this.atRest[rested]!);
      if (this.looks.count - looks >= LOOKS_PER_JOB || this.found.length - states >= STATES_PER_JOB) {
        looks = this.looks.count;
        states = this.found.length;
        yield;
        if (this.#cancelled()) this.#stop("the analysis was stopped before it had seen every state");
      }
    }
  }

  /** Number of a state, -1 when it was not found. */
  numberOf(state: MachineState): number {
    return state.length === this.table.width ? this.table.find(state) : -1;
  }

  stateOf(index: number): MachineState {
    return this.table.row(index);
  }

  #stopped(): boolean {
    return !this.complete;
  }

  #stop(why: string): void {
    this.complete = false;
    this.missing ||= why;
  }

  /** Adds a state, -1 when the budget is spent and it would be new. */
  #add(state: MachineState, depth: number, origin: number): number {
    if (this.found.length >= this.#budget) {
      const known = this.table.find(state);
      if (known < 0)
        this.#stop(`more than ${this.#budget.toLocaleString("en-US")} states: the further ones were not looked at`);
      return known;
    }
    const index = this.table.add(state);
    if (index === this.found.length) {
      const look = this.looks.of(state);
      const open = disagreeing(this.#circuit, state, look);
      const atRest = open.length === 0;
      const restPosition = atRest ? this.atRest.length : -1;
      this.found.push({ look, atRest, restPosition, depth, origin, next: [], expanded: false });
      if (atRest) this.atRest.push(index);
    }
    return index;
  }

  #settle(index: number): void {
    const from = this.found[index]!;
    if (from.atRest) return;
    const state = this.stateOf(index).slice();
    let whole = true;
    for (const { control, target } of disagreeing(this.#circuit, state, from.look)) {
      const old = state[control]!;
      state[control] = target;
      const next = this.#add(state, from.depth, from.origin);
      if (next >= 0) from.next.push(next);
      else whole = false;
      state[control] = old;
    }
    from.expanded = whole;
  }

  #moveInputs(index: number): void {
    const from = this.found[index]!;
    const state = this.stateOf(index).slice();
    let whole = true;
    for (const { control, position } of inputMoves(this.#circuit.machine, state, from.look.classes)) {
      const old = state[control.id]!;
      state[control.id] = position;
      const next = this.#add(state, from.depth + 1, index);
      if (next >= 0) from.next.push(next);
      else whole = false;
      state[control.id] = old;
    }
    from.expanded = whole;
  }
}
