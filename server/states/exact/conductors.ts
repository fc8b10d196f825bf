/**
 * Steady current out of supply legs and through written wires. A conductor is treated as a contact that is always closed, in a
 * circuit in which the joint that it is part of is parted there; volts and currents of loads are the same in both circuits.
 */
import { LazyFields } from "../../base/lazy-fields.ts";
import { buildCircuit } from "../../circuit/build.ts";
import type { Circuit } from "../../circuit/circuit.ts";
import { solveState } from "../../circuit/solve.ts";
import { farSideOf, wireCurrent } from "../../circuit/wire-currents.ts";
import type { Contact, ContactId, Machine, MachineState, TerminalId, WireId } from "../../machine/machine.ts";
import type { Extreme, Extremes } from "../engine.ts";
import type { Answers } from "./answers.ts";
import { FULL, type StateSet } from "./diagram.ts";
import { SteadyExtremes } from "./extremes.ts";
import { linksAt } from "./leg-reach.ts";
import { extremesOf } from "./shown-extremes.ts";
import { zonesOf } from "./zones.ts";

export class ConductorExtremes {
  private readonly steady: SteadyExtremes;
  private readonly answers: Answers;
  private readonly legs: (SteadyExtremes | undefined)[] = [];
  /** Left out: not asked yet. */
  private readonly wires = new Map<WireId, SteadyExtremes | "not told">();

  constructor(steady: SteadyExtremes, answers: Answers) {
    this.steady = steady;
    this.answers = answers;
  }

  /** Legs on one joint share alike, as in the solver of single states. */
  leg(leg: number, care: StateSet, code: number): Extremes {
    const { legJoint } = this.steady.work.circuit;
    const sharing = legJoint.filter((joint) => joint === legJoint[leg]).length;
    return shared(this.ask((this.legs[leg] ??= this.ofJoint(leg, sharing)), care, code), sharing);
  }

  wire(wire: WireId, care: StateSet, code: number): Extremes {
    let parted = this.wires.get(wire);
    if (parted === undefined) this.wires.set(wire, (parted = this.ofWire(wire)));
    return parted === "not told" ? { exact: false } : this.ask(parted, care, code);
  }

  private ask(parted: SteadyExtremes, care: StateSet, code: number): Extremes {
    const { work } = parted;
    const contact = work.circuit.contactA.length - 1;
    const answer = (): Extremes => extremesOf(work, parted.carries(contact, care));
    return this.answers.ask(code, care, { contact }, parted.near(contact), answer, work.circuit);
  }

  /** The legs of a joint feed a point of their own, and a contact from there leads to where they fed before. */
  private ofJoint(leg: number, sharing: number): SteadyExtremes {
    const { circuit } = this.steady.work;
    const { machine, legJoint } = circuit;
    const { supply, terminals } = machine;
    const fed = supply.legs[leg]!.terminal;
    const point = terminals.length;
    const legs = supply.legs.map((one, i) => (legJoint[i] === legJoint[leg] ? { ...one, terminal: point } : one));
    const parted: Machine = {
      ...machine,
      terminals: [...terminals, { ...terminals[fed]!, id: point }],
      contacts: [...machine.contacts, alwaysClosed(machine, point, fed)],
      supply: { ...supply, legs },
    };
    return this.within(buildCircuit(parted), (state) => {
      const { re, im } = solveState(circuit, state).legAmps;
      return sharing * Math.hypot(re[leg]!, im[leg]!);
    });
  }

  private ofWire(wire: WireId): SteadyExtremes | "not told" {
    const { circuit } = this.steady.work;
    const { machine } = circuit;
    const far = farSideOf(machine, wire);
    if (far === undefined) return "not told";
    const { a, b } = machine.wires[wire]!;
    const parted: Machine = { ...machine, contacts: [...machine.contacts, alwaysClosed(machine, a, b)] };
    return this.within(buildCircuit(parted, new Set([wire])), (state) => {
      const { re, im } = wireCurrent(solveState(circuit, state), far);
      return Math.hypot(re, im);
    });
  }

  private within(circuit: Circuit, solved: (state: MachineState) => number): SteadyExtremes {
    const { work, view, reached, shorted, pool } = this.steady;
    const parted = {
      ...work,
      circuit,
      closed: Int32Array.from([...work.closed, FULL]),
      zones: zonesOf(circuit),
      contactsAt: linksAt(circuit.jointCount, circuit.contactA, circuit.contactB),
    };
    return new SteadyExtremes(parted, view, reached, shorted, pool, (_, state) => solved(state));
  }
}

const withState = new LazyFields<Pick<Extreme, "state">>("state");

function shared(found: Extremes, among: number): Extremes {
  if (among === 1) return found;
  const part = (one: Extreme | undefined): Extreme | undefined =>
    one && withState.add({ value: one.value / among }, () => one.state);
  const { smallest, largest, exact, bound } = found;
  return {
    smallest: part(smallest),
    largest: part(largest),
    exact,
    ...(bound !== undefined && { bound: bound / among }),
  };
}

function alwaysClosed({ contacts, supply }: Machine, a: TerminalId, b: TerminalId): Contact {
  const id: ContactId = contacts.length;
  const { place } = supply;
  return {
    id,
    part: 0,
    name: "",
    role: "switching",
    a,
    b,
    closed: [[]],
    ohms: 0,
    ratings: [],
    place,
    namePlace: place,
  };
}
