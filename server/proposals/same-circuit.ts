/**
 * Are two machines the same circuit? Names, connections, conditions, values, ratings, guards and programs are compared, not places or
 * the order of statements.
 */
import type { Machine, TerminalId } from "../machine/machine.ts";

/** What differs first, for a developer; undefined when nothing does. Parts called as in `without` are looked at in neither. */
export function circuitDifference(one: Machine, two: Machine, without: ReadonlySet<string>): string | undefined {
  const [a, b] = [factsOf(one, without), factsOf(two, without)];
  for (const fact of a) if (!b.has(fact)) return `only in the first: ${fact}`;
  for (const fact of b) if (!a.has(fact)) return `only in the second: ${fact}`;
  return undefined;
}

function factsOf(machine: Machine, without: ReadonlySet<string>): Set<string> {
  const { parts, supply, contacts, loads, controls, guards, programs, transformers } = machine;
  const here = ({ part }: { readonly part: number }) => !without.has(parts[part]!.name);
  const facts = new Set<string>();
  const add = (what: string, value: object) => void facts.add(`${what} ${worded(value, machine)}`);
  for (const joined of connections(machine, without)) facts.add(`joined ${joined.join(" ")}`);
  for (const { id, terminals: _, controls: __, contacts: ___, loads: ____, ...part } of parts)
    if (here({ part: id })) add("part", part);
  const { legs, frequency, breakerAmps, cord, wiring, reversible } = supply;
  add("supply", { legs, frequency, breakerAmps, cord, wiring, reversible });
  for (const [what, all] of Object.entries({ contacts, loads, controls, guards, programs, transformers }))
    for (const each of all) if (here(each)) add(what, each);
  return facts;
}

/** Full names of terminals that are one connection, sorted; those alone are left out. */
function connections({ terminals, wires, parts }: Machine, without: ReadonlySet<string>): string[][] {
  const root = terminals.map((_, index) => index);
  const find = (terminal: TerminalId): TerminalId => {
    let at = terminal;
    while (root[at] !== at) at = root[at]!;
    return at;
  };
  for (const { a, b } of wires) root[find(a)] = find(b);
  const found = new Map<TerminalId, string[]>();
  for (const { id, part, fullName } of terminals)
    if (!without.has(parts[part]!.name)) found.set(find(id), [...(found.get(find(id)) ?? []), fullName]);
  return [...found.values()].filter(({ length }) => length > 1).map((names) => names.sort());
}

/** Where it stands, its number, and words for people, which name other parts. */
const passedOver: ReadonlySet<string> = new Set(["id", "place", "namePlace", "words", "label"]);
const listsOfLoads: ReadonlySet<string> = new Set(["loads", "senses", "mains", "starts"]);
const unordered: ReadonlySet<string> = new Set([
  "closed",
  "holds",
  "only",
  "when",
  "needs",
  "unless",
  "sets",
  "clears",
]);

/** As text, numbers of things replaced by their names. */
function worded(value: unknown, machine: Machine, key = ""): string {
  if (typeof value === "number") return nameOf(value, machine, key);
  if (value instanceof Uint8Array) return value.join("");
  if (Array.isArray(value)) {
    const kind = listsOfLoads.has(key) ? "load" : key === "primary" || key === "secondary" ? "terminal" : key;
    const words = value.map((each) => worded(each, machine, kind));
    return `[${(unordered.has(key) || kind === "load" ? words.sort() : words).join(", ")}]`;
  }
  if (typeof value !== "object" || value === null) return String(value);
  const fields = Object.entries(value).filter(([name, field]) => !passedOver.has(name) && field !== undefined);
  return `{${fields.map(([name, field]) => `${name}: ${worded(field, machine, name)}`).join(", ")}}`;
}

function nameOf(id: number, machine: Machine, key: string): string {
  switch (key) {
    case "part":
      return machine.parts[id]!.name;
    case "load":
    case "drive":
      return machine.loads[id]!.name;
    case "control":
      return machine.controls[id]!.name;
    case "partner":
      return machine.contacts[id]!.name;
    case "terminal":
    case "frame":
    case "a":
    case "b":
      return machine.terminals[id]!.fullName;
    default:
      return String(id);
  }
}

/** Each contact and load as text without where it stands and where it is wired, by its name. */
export function factsByName(machine: Machine): Map<string, string> {
  const found = new Map<string, string>();
  for (const { a: _, b: __, partner: ___, chartRow: ____, ...each } of machine.contacts)
    found.set(each.name, worded(each, machine));
  for (const { a: _, b: __, through: ___, ...each } of machine.loads) found.set(each.name, worded(each, machine));
  return found;
}
