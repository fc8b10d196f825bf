/** Gives a machine without wires wires of its own: every end of a part gets its own point, joined by a random tree of wires. */
import type { Machine, Terminal, TerminalId, Wire } from "../../server/machine/machine.ts";

/**
 * @param picks random numbers, used one after the other and over again: which points each wire joins
 * @param rings how many wires beyond the trees
 */
export function withWrittenWires(machine: Machine, picks: readonly number[], rings: number): Machine {
  const terminals: Terminal[] = [...machine.terminals];
  const wires: Wire[] = [];
  /** Points of what was one terminal. */
  const points: TerminalId[][] = machine.terminals.map(({ id }) => [id]);
  let at = 0;
  const pick = (count: number): number => picks[at++ % picks.length]! % count;
  const join = (a: TerminalId, b: TerminalId): void => {
    wires.push({ id: wires.length, a, b, kind: "wire", place: machine.place });
  };
  const end = (terminal: TerminalId): TerminalId => {
    const own = points[terminal]!;
    const id = terminals.length;
    terminals.push({ ...machine.terminals[terminal]!, id });
    const other = own[pick(own.length)]!;
    if (pick(2) === 0) join(id, other);
    else join(other, id);
    own.push(id);
    return id;
  };
  const contacts = machine.contacts.map((contact) => ({ ...contact, a: end(contact.a), b: end(contact.b) }));
  const loads = machine.loads.map((load) => ({ ...load, a: end(load.a), b: end(load.b) }));
  for (let ring = 0; ring < rings; ring++) {
    const own = points[pick(points.length)]!;
    join(own[pick(own.length)]!, own[pick(own.length)]!);
  }
  return { ...machine, terminals, contacts, loads, wires };
}
