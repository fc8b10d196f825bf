/**
 * What feeds what: for a load, a contact or a supply leg, the things next to it on the ways of the current. Taken from the continuity
 * paths of every load, one state for each way in which the load is energised.
 */
import { Beside } from "../base/beside.ts";
import { energised } from "../checks/ask.ts";
import { contactName, deviceWord, loadName } from "../checks/words.ts";
import { continuityWays, plainest, type Way } from "../circuit/paths.ts";
import type { Machine, MachineState, Target } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { thingAt } from "./same-thing.ts";
import type { FileView } from "./view.ts";

/** A supply leg, a contact or a load, by its name in the machine; plain data. */
export interface FeedSubject {
  readonly machine: number;
  readonly kind: "leg" | "contact" | "load";
  readonly name: string;
}

export interface FeedItem extends FeedSubject {
  /** `contact of the program timer`, `heater`. */
  readonly detail: string;
  /** The name, and all that is written of the thing. */
  readonly namePlace: Stretch;
  readonly whole: Stretch;
}

interface Stretch {
  readonly file: string;
  readonly from: number;
  readonly to: number;
}

/** Ways of feeding one load that are looked at, and paths of each. */
const mostWays = 12;
const mostPaths = 4;

/** The things that the name under the caret stands for; a part of several contacts and loads is all of them. */
export function feedItemsAt(view: FileView, offset: number): readonly FeedItem[] {
  const thing = thingAt(view, offset);
  const index = view.machines.findIndex(({ machine }) => machine === thing?.machine);
  if (!thing || index < 0) return [];
  const { machine } = view.machines[index]!;
  return keysOf(machine, thing.mention.target).map((key) => itemOf(machine, index, key));
}

function keysOf(machine: Machine, target: Target): Key[] {
  switch (target.type) {
    case "leg":
      return legKeys(machine, target.terminal);
    case "contact":
      return [`contact ${target.contact}`];
    case "load":
      return [`load ${target.load}`];
    case "part": {
      const { contacts, loads } = machine.parts[target.part]!;
      return [...contacts.map((id): Key => `contact ${id}`), ...loads.map((id): Key => `load ${id}`)];
    }
    case "terminal": {
      const legs = legKeys(machine, target.terminal);
      const touches = ({ a, b }: { a: number; b: number }) => a === target.terminal || b === target.terminal;
      const contacts = machine.contacts.filter(touches).map(({ id }): Key => `contact ${id}`);
      return [...legs, ...contacts, ...machine.loads.filter(touches).map(({ id }): Key => `load ${id}`)];
    }
    default:
      return [];
  }
}

const legKeys = (machine: Machine, terminal: number): Key[] =>
  machine.supply.legs.flatMap((leg, index): Key[] => (leg.terminal === terminal ? [`leg ${index}`] : []));

/** What feeds the thing, and what it feeds; empty while the states are being worked out. */
export function fedByAndFeeds(
  view: FileView,
  subject: FeedSubject,
): { readonly fedBy: readonly FeedItem[]; readonly feeds: readonly FeedItem[] } {
  const found = view.machines[subject.machine];
  const own = found && keyOf(found.machine, subject);
  if (!found?.engine || !own) return { fedBy: [], feeds: [] };
  const edges = edgesOf(found.engine);
  const items = (keys: Iterable<Key>) => [...keys].map((key) => itemOf(found.machine, subject.machine, key));
  return {
    fedBy: items(new Set(edges.filter(({ to }) => to === own).map(({ from }) => from))),
    feeds: items(new Set(edges.filter(({ from }) => from === own).map(({ to }) => to))),
  };
}

type Key = `${FeedSubject["kind"]} ${number}`;
interface Edge {
  readonly from: Key;
  readonly to: Key;
}

const kept = new Beside<Engine, readonly Edge[]>();

function edgesOf(engine: Engine): readonly Edge[] {
  const known = kept.get(engine);
  if (known) return known;
  const edges = new Map<string, Edge>();
  for (const { id } of engine.circuit.machine.loads)
    for (const state of waysOf(engine, id))
      for (const way of plainest(continuityWays(engine.circuit, state, id, { paths: mostPaths }).ways))
        for (const edge of along(engine.circuit.machine, way, `load ${id}`)) edges.set(`${edge.from} ${edge.to}`, edge);
  const all = [...edges.values()];
  kept.set(engine, all);
  return all;
}

/** One state for each way in which the load is energised. */
function waysOf(engine: Engine, load: number): MachineState[] {
  const on = energised(engine, load);
  if (engine.isEmpty(on)) return [];
  const ways = engine.statement(on).slice(0, mostWays);
  return ways.flatMap((way) => engine.witness(engine.and(on, engine.where([way]))) ?? []);
}

/** Live legs feed towards the load; past it the current goes back to the neutral, or is fed from the other live leg as well. */
function along(machine: Machine, { from, to, edges: chain }: Way, own: Key): Edge[] {
  const keys = [`leg ${from}` as Key, ...chain.flatMap(keyOfEdge), `leg ${to}` as Key];
  const at = keys.indexOf(own);
  const live = (leg: number) => machine.supply.legs[leg]!.role === "live";
  const edges: Edge[] = [];
  for (let i = 0; i + 1 < keys.length; i++) {
    const [one, next] = [keys[i]!, keys[i + 1]!];
    const forward = i < at ? live(from) : !live(to);
    edges.push(forward ? { from: one, to: next } : { from: next, to: one });
  }
  return edges;
}

function keyOfEdge({ kind, id }: Way["edges"][number]): Key[] {
  return kind === "winding" ? [] : [`${kind} ${id}`];
}

function keyOf(machine: Machine, { kind, name }: FeedSubject): Key | undefined {
  const things = kind === "leg" ? machine.supply.legs : kind === "contact" ? machine.contacts : machine.loads;
  const index = things.findIndex((thing) => thing.name === name);
  return index < 0 ? undefined : `${kind} ${index}`;
}

function itemOf(machine: Machine, index: number, key: Key): FeedItem {
  const id = Number(key.slice(key.indexOf(" ") + 1));
  if (key.startsWith("leg")) {
    const { name, role } = machine.supply.legs[id]!;
    const { place } = machine.supply;
    const detail = role === "live" ? "live leg of the supply" : role === "neutral" ? "neutral" : "ground";
    return { machine: index, kind: "leg", name, detail, namePlace: place, whole: place };
  }
  if (key.startsWith("contact")) {
    const contact = machine.contacts[id]!;
    const words = contactName(machine, id).slice(contact.name.length).trim();
    const detail = words === "" ? deviceWord(contact) : words.replace(/^\(|\)$/g, "");
    return {
      machine: index,
      kind: "contact",
      name: contact.name,
      detail,
      namePlace: contact.namePlace,
      whole: contact.place,
    };
  }
  const load = machine.loads[id]!;
  const words = loadName(machine, id).slice(load.name.length).trim();
  const detail = words === "" ? load.kind.replace("-", " ") : words.replace(/^\(|\)$/g, "");
  return { machine: index, kind: "load", name: load.name, detail, namePlace: load.namePlace, whole: load.place };
}
