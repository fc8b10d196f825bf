/** Points of a finished machine by the names that findings and the command line write. */
import type { PointNode } from "../../grammar/tree.ts";
import type { ContactId, ControlId, LoadId, Machine, PartId, TerminalId } from "../machine/machine.ts";

/** What a name means at the bench. `terminals`: where the meter's leads go when the name alone is given. */
export interface BenchPoint {
  readonly name: string;
  readonly terminals: readonly TerminalId[];
  readonly part?: PartId;
  readonly loads: readonly LoadId[];
  readonly contacts: readonly ContactId[];
  readonly controls: readonly ControlId[];
}

const otherLegNames: Readonly<Record<string, readonly string[]>> = {
  L: ["L1"],
  L1: ["L"],
  PE: ["G", "GND", "E"],
  G: ["PE"],
  GND: ["PE"],
};

/** Undefined when nothing is called so. */
export function benchPoint(machine: Machine, partName: string, inner?: string): BenchPoint | undefined {
  if (inner === undefined) {
    const leg = legOf(machine, partName);
    if (leg !== undefined)
      return { name: machine.terminals[leg]!.fullName, terminals: [leg], loads: [], contacts: [], controls: [] };
  }
  const part = machine.parts.find(({ name, kind }) => name === partName && kind !== "supply");
  if (!part) return undefined;
  const { id, contacts, loads, controls } = part;
  if (inner === undefined) {
    const single =
      contacts.length + loads.length === 1 ? (machine.contacts[contacts[0]!] ?? machine.loads[loads[0]!]) : undefined;
    const terminals = single ? [single.a, single.b] : part.terminals.length <= 2 ? part.terminals : [];
    return { name: partName, terminals, part: id, loads, contacts, controls };
  }
  const terminal = part.terminals.find((each) => machine.terminals[each]!.name === inner);
  if (terminal !== undefined)
    return {
      name: machine.terminals[terminal]!.fullName,
      terminals: [terminal],
      part: id,
      loads: [],
      contacts: [],
      controls: [],
    };
  const full = `${partName}.${inner}`;
  const own = contacts.filter((each) => machine.contacts[each]!.name === full);
  const load = loads.find((each) => machine.loads[each]!.name === full);
  const control = controls.filter((each) => machine.controls[each]!.name === full);
  const between = own.length > 0 ? machine.contacts[own[0]!] : load === undefined ? undefined : machine.loads[load];
  if (!between && control.length === 0) return undefined;
  return {
    name: full,
    terminals: between ? [between.a, between.b] : [],
    part: id,
    loads: load === undefined ? [] : [load],
    contacts: own,
    controls: control,
  };
}

export function pointNamed(machine: Machine, node: PointNode | undefined): BenchPoint | undefined {
  return node?.part ? benchPoint(machine, node.part.text, node.terminal?.text) : undefined;
}

/** `HT.1`, `L1`, `BR."-"`. */
export function pointInText(machine: Machine, text: string): BenchPoint | undefined {
  const dot = text.indexOf(".");
  if (dot < 0) return benchPoint(machine, text.trim());
  return benchPoint(
    machine,
    text.slice(0, dot).trim(),
    text
      .slice(dot + 1)
      .trim()
      .replace(/^"(.*)"$/, "$1"),
  );
}

function legOf(machine: Machine, name: string): TerminalId | undefined {
  const { legs } = machine.supply;
  const named = (leg: string) => legs.find((each) => each.name === leg)?.terminal;
  const own = named(name);
  if (own !== undefined || machine.parts.some((part) => part.name === name)) return own;
  return (otherLegNames[name] ?? []).map(named).find((terminal) => terminal !== undefined);
}
