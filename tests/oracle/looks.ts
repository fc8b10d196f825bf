/**
 * Solutions kept by what the solver can see: which contacts are closed, which impedance each load has, whether the supply is on.
 * Many states look alike to it (a thermostat's neighbour in a dead branch, two steps of a timer with the same column).
 */

import type { Circuit, Overrides, Solution } from "../../server/circuit/circuit.ts";
import { conditionHolds } from "../../server/circuit/condition.ts";
import { solveState } from "../../server/circuit/solve.ts";
import type { ContactId, LoadId, MachineState } from "../../server/machine/machine.ts";
import { classesOf } from "./load-class.ts";
import { RowTable } from "./row-table.ts";

/** What one arrangement of contacts and impedances looks like. */
export interface Look {
  readonly id: number;
  readonly solution: Solution;
  readonly shorted: boolean;
  /** By load id. */
  readonly classes: Uint8Array;
  /** 1 where closed, by contact id. */
  readonly closed: Uint8Array;
}

export class Looks {
  readonly circuit: Circuit;
  readonly #table: RowTable;
  readonly #looks: Look[] = [];
  readonly #row: Uint8Array;
  /** Controls that impedances depend on. */
  readonly #controls: readonly number[];
  readonly #opened = new Map<string, Uint8Array>();
  readonly #open = new Map<ContactId, Overrides>();
  readonly #inrush = new Map<string, Solution>();

  constructor(circuit: Circuit) {
    this.circuit = circuit;
    const controls = new Set<number>([circuit.machine.supply.control]);
    for (const load of circuit.machine.loads) {
      if (load.control !== undefined && load.impedance.length > 1) controls.add(load.control);
    }
    this.#controls = [...controls];
    this.#row = new Uint8Array(circuit.machine.contacts.length + this.#controls.length);
    this.#table = new RowTable(this.#row.length);
  }

  /** Number of solutions that were needed so far. */
  get count(): number {
    return this.#looks.length;
  }

  at(id: number): Look {
    return this.#looks[id]!;
  }

  of(state: MachineState): Look {
    const { contacts } = this.circuit.machine;
    const row = this.#row;
    for (let i = 0; i < contacts.length; i++) row[i] = conditionHolds(contacts[i]!.closed, state) ? 1 : 0;
    for (let i = 0; i < this.#controls.length; i++) row[contacts.length + i] = state[this.#controls[i]!]!;
    const id = this.#table.add(row);
    if (id === this.#looks.length) {
      // The state is kept by its owner and may be written to: the solution needs its own.
      const solution = solveState(this.circuit, state.slice());
      this.#looks.push({
        id,
        solution,
        shorted: solution.shorts.length > 0,
        classes: classesOf(this.circuit, solution),
        closed: row.slice(0, contacts.length),
      });
    }
    return this.#looks[id]!;
  }

  /** Load classes with one contact opened and nothing settled since. */
  classesWithout(look: Look, contact: ContactId): Uint8Array {
    const key = `${look.id} ${contact}`;
    const known = this.#opened.get(key);
    if (known !== undefined) return known;
    // One object of overrides for each contact: the solver lays the circuit out once per object.
    let overrides = this.#open.get(contact);
    if (overrides === undefined) {
      overrides = { contacts: new Map([[contact, { as: "open" }]]) };
      this.#open.set(contact, overrides);
    }
    const solution = solveState(this.circuit, look.solution.state, { overrides });
    const classes = classesOf(this.circuit, solution);
    this.#opened.set(key, classes);
    return classes;
  }

  /** The first moment of `loads`, all others steady. */
  inrush(look: Look, loads: readonly LoadId[]): Solution {
    if (loads.every((load) => this.circuit.machine.loads[load]!.inrush === undefined)) return look.solution;
    const key = `${look.id} ${loads.join(" ")}`;
    const known = this.#inrush.get(key);
    if (known !== undefined) return known;
    const solution = solveState(this.circuit, look.solution.state, { moment: { at: "inrush", loads } });
    this.#inrush.set(key, solution);
    return solution;
  }
}
