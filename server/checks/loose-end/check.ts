/** A wire that ends nowhere, or a load with one end left free: current cannot pass. */
import { Beside } from "../../base/beside.ts";
import type { Machine, TerminalId } from "../../machine/machine.ts";
import type { Check } from "../check.ts";
import { list, related, terminalName } from "../words.ts";

export const looseEnd: Check = {
  id: "loose-end",
  gravity: "warning",
  title: "A wire or a load's end that goes nowhere",
  hangsOn: "structure",
  *run({ engine, machine, report }) {
    const { circuit } = engine;
    const edges = edgesAt(machine);
    const legs = new Set(machine.supply.legs.map(({ terminal }) => circuit.jointOf[terminal]!));
    const frames = new Set(machine.parts.flatMap(({ frame }) => (frame === undefined ? [] : [frame])));
    for (let joint = 0; joint < circuit.jointCount; joint++) {
      if (joint % 64 === 0) yield;
      const terminals = circuit.terminalsOf[joint]!;
      if (legs.has(joint) || terminals.some((t) => frames.has(t))) continue;
      const users = terminals.flatMap((t) => edges.get(t) ?? []);
      if (users.length > 1) continue;
      const wire = machine.wires.find(
        ({ a, b, kind }) => kind !== "internal" && (terminals.includes(a) || terminals.includes(b)),
      );
      const user = users[0];
      if (wire) {
        const ends = terminals.filter((t) =>
          machine.wires.some(({ a, b, kind }) => kind !== "internal" && (a === t || b === t)),
        );
        report({
          place: wire.place,
          what: `The wire at ${list(ends.map((t) => terminalName(machine, t)))} ${user === undefined ? "joins nothing that current could flow through" : "goes nowhere: current can come in, but not get on"}.`,
          why: "Something that should be connected here is not, in the text or in the machine.",
          advice:
            "Look up where this wire ends on the machine's own sheet and write the other end, or take the wire out.",
          related: ends
            .slice(0, 4)
            .map((t) => related(machine.terminals[t]!.place, `${terminalName(machine, t)} is here`)),
        });
        continue;
      }
      if (user?.load !== undefined) {
        const load = machine.loads[user.load]!;
        const other = load.a === terminals[0] ? load.b : load.a;
        const terminal = terminals[0]!;
        const part = machine.parts[load.part]!;
        if (!wired(machine, other)) {
          // No wire on the whole part: unused-part tells it. Else this load alone was forgotten; told once, at its first end.
          const used = part.terminals.some((id) => id !== part.frame && wired(machine, id));
          if (used && terminal === load.a)
            report({
              place: load.namePlace,
              what: `Neither ${terminalName(machine, load.a)} nor ${terminalName(machine, load.b)} has a wire, so ${load.name} cannot carry any current.`,
              why: "Other terminals of the part are wired, but this load is not in the circuit.",
              advice: "Wire both its ends to where the machine's own sheet shows them, or take it out of the text.",
              related: [related(part.namePlace, `${part.name} is otherwise connected`)],
            });
        } else {
          report({
            place: load.namePlace,
            what: `${terminalName(machine, terminal)} has no wire, so ${load.name} cannot carry any current.`,
            why: "A load needs both its ends connected.",
            advice: `Wire ${terminalName(machine, terminal)} to where the machine's own sheet shows it.`,
            related: [
              related(machine.terminals[other]!.place, `its other end, ${terminalName(machine, other)}, is connected`),
            ],
          });
        }
      }
      if (user?.contact !== undefined) {
        const contact = machine.contacts[user.contact]!;
        const terminal = terminals[0]!;
        const other = contact.a === terminal ? contact.b : contact.a;
        const spare = machine.contacts.some(
          (c) => c.id !== contact.id && c.part === contact.part && (c.a === other || c.b === other),
        );
        if (!spare && wired(machine, other))
          report({
            place: contact.namePlace,
            what: `${terminalName(machine, terminal)} has no wire, so nothing flows through ${contact.name}.`,
            why: "A switch with one end free switches nothing.",
            advice: `Wire ${terminalName(machine, terminal)} to where the machine's own sheet shows it, or leave the part out.`,
            related: [
              related(machine.terminals[other]!.place, `its other end, ${terminalName(machine, other)}, is connected`),
            ],
          });
      }
    }
  },
};

interface Edge {
  readonly contact?: number;
  readonly load?: number;
}

const known = new Beside<Machine, ReadonlyMap<TerminalId, readonly Edge[]>>();

/** Contacts, loads and transformer windings that end on each terminal. */
export function edgesAt(machine: Machine): ReadonlyMap<TerminalId, readonly Edge[]> {
  let edges = known.get(machine);
  if (!edges) known.set(machine, (edges = edgesOf(machine)));
  return edges;
}

function edgesOf(machine: Machine): Map<TerminalId, Edge[]> {
  const edges = new Map<TerminalId, Edge[]>();
  const add = (terminal: TerminalId, edge: Edge): void => {
    const there = edges.get(terminal);
    if (there) there.push(edge);
    else edges.set(terminal, [edge]);
  };
  for (const { id, a, b } of machine.contacts) {
    add(a, { contact: id });
    add(b, { contact: id });
  }
  for (const { id, a, b } of machine.loads) {
    add(a, { load: id });
    add(b, { load: id });
  }
  for (const { primary, secondary } of machine.transformers) for (const t of [...primary, ...secondary]) add(t, {});
  return edges;
}

export function wired(machine: Machine, terminal: TerminalId): boolean {
  return machine.wires.some(({ a, b }) => a === terminal || b === terminal);
}
