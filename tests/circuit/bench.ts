/** A machine on the bench: built from a literal, solved in one state, read by name. */
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Overrides, Solution } from "../../server/circuit/circuit.ts";
import {
  contactAmps,
  type LoadReading,
  legAmps,
  loadReading,
  magnitude,
  voltsBetween,
} from "../../server/circuit/measure.ts";
import { solveState } from "../../server/circuit/solve.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { buildMachine, type MachineLiteral, stateOf } from "../support/build-machine.ts";

export class Bench {
  readonly machine: Machine;
  readonly solution: Solution;

  constructor(
    literal: MachineLiteral,
    positions: Record<string, string> = {},
    overrides?: Overrides | ((machine: Machine) => Overrides),
    inrush?: string[],
  ) {
    this.machine = buildMachine(literal);
    this.solution = solveState(buildCircuit(this.machine), stateOf(this.machine, positions), {
      overrides: typeof overrides === "function" ? overrides(this.machine) : overrides,
      ...(inrush
        ? { moment: { at: "inrush" as const, loads: inrush.map((name) => this.#id(this.machine.loads, name)) } }
        : {}),
    });
  }

  #id(list: readonly { readonly name: string; readonly id: number }[], name: string): number {
    return list.find((one) => one.name === name)!.id;
  }

  load(name: string): LoadReading {
    return loadReading(this.solution, this.#id(this.machine.loads, name));
  }

  contact(name: string): number {
    return contactAmps(this.solution, this.#id(this.machine.contacts, name));
  }

  leg(name: string): number {
    return legAmps(
      this.solution,
      this.machine.supply.legs.findIndex((leg) => leg.name === name),
    );
  }

  terminal(name: string): number {
    return this.#id(this.machine.terminals, name);
  }

  volts(a: string, b: string): number {
    return magnitude(voltsBetween(this.solution, this.terminal(a), this.terminal(b)));
  }

  fed(name: string): boolean {
    return this.solution.fed[this.solution.circuit.jointOf[this.terminal(name)]!] === 1;
  }
}
