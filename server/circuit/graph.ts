/**
 * The circuit as a graph: joints are nodes, contacts, loads and transformer windings are edges between them. For tracing and
 * pictures; the solver and the engines do not use it in their loops.
 */
import { Graph } from "@dagrejs/graphlib";
import type { ContactId, Load, LoadId, Machine, MachineState, PartId, TerminalId } from "../machine/machine.ts";
import { loadImpedance } from "./arrange.ts";
import type { Circuit } from "./circuit.ts";
import { conditionHolds } from "./condition.ts";

/** One edge: a contact, a load or a transformer winding, from its first terminal to its second. */
export interface CircuitEdge {
  readonly kind: "contact" | "load" | "winding";
  /** Contact or load id; for windings 2 x the transformer's index, + 1 for the secondary. */
  readonly id: number;
  readonly part: PartId;
  readonly a: TerminalId;
  readonly b: TerminalId;
}

/** What stands at a node. */
export interface CircuitNode {
  readonly joint: number;
  readonly terminals: readonly TerminalId[];
  /** Indexes into `Supply.legs`. */
  readonly legs: readonly number[];
}

export type CircuitGraph = Graph<undefined, CircuitNode, CircuitEdge>;

/** The name of a joint's node. */
export function nodeOf(joint: number): string {
  return String(joint);
}

/** The whole circuit, every contact and load in it whatever the state. An undirected multigraph. */
export function circuitGraph(circuit: Circuit): CircuitGraph {
  const every = () => true;
  return graphOf(circuit, edgesOf(circuit, every, every));
}

/**
 * What conducts in a state: closed contacts and loads that have an impedance then.
 *
 * @param around only what these joints reach; a walk ends at the first leg it meets. Left out: everything
 */
export function conductingGraph(circuit: Circuit, state: MachineState, around?: readonly number[]): CircuitGraph {
  const { contacts, loads } = circuit.machine;
  const hasContact = (contact: ContactId) => conditionHolds(contacts[contact]!.closed, state);
  const hasLoad = (load: LoadId) => loadConducts(loads[load]!, state);
  if (!around) return graphOf(circuit, edgesOf(circuit, hasContact, hasLoad));
  const reached = joinedTo(circuit, around, hasContact, hasLoad);
  const within = (a: number, b: number): boolean => reached.has(a) && reached.has(b);
  const edges = edgesOf(
    circuit,
    (contact) => within(circuit.contactA[contact]!, circuit.contactB[contact]!) && hasContact(contact),
    (load) => within(circuit.loadA[load]!, circuit.loadB[load]!) && hasLoad(load),
  );
  return graphOf(circuit, edges, reached);
}

/**
 * All that decides what conducts in a state and where it leads, in numbers: equal keys, equal graphs but for names and terminals. Volts of
 * legs are part of it, watts and ohms are not.
 */
export function conductingKey(circuit: Circuit, state: MachineState): string {
  const { machine, jointOf, contactA, contactB, loadA, loadB, legJoint, legRe, legIm } = circuit;
  const { contacts, loads, transformers } = machine;
  const key: number[] = [...legJoint, LIST_END];
  for (let id = 0; id < contacts.length; id++)
    if (conditionHolds(contacts[id]!.closed, state)) key.push(id, contactA[id]!, contactB[id]!);
  key.push(LIST_END);
  for (let id = 0; id < loads.length; id++) if (loadConducts(loads[id]!, state)) key.push(id, loadA[id]!, loadB[id]!);
  key.push(LIST_END);
  for (const { primary, secondary } of transformers)
    for (const terminal of [...primary, ...secondary]) key.push(jointOf[terminal]!);
  const volts = `${legRe} ${legIm}`;
  // As characters, which is several times faster than as digits. The end of a list is the last character that there is.
  const most = Math.max(machine.terminals.length, contacts.length, loads.length);
  return most < MOST_AS_CHARACTERS ? `${String.fromCharCode(...key)} ${volts}` : `${key} ${volts}`;
}

const LIST_END = -1;
const MOST_AS_CHARACTERS = 10_000;

function loadConducts(load: Load, state: MachineState): boolean {
  return load.kind === "diode" || loadImpedance(load, state) !== undefined;
}

/** Joints that these reach through what conducts, a walk ending at the first leg. */
function joinedTo(
  circuit: Circuit,
  around: readonly number[],
  hasContact: (contact: ContactId) => boolean,
  hasLoad: (load: LoadId) => boolean,
): Set<number> {
  const { jointOf, legJoint, contactA, contactB, loadA, loadB } = circuit;
  const reached = new Set(around);
  for (const joint of reached) {
    if (legJoint.includes(joint)) continue;
    const walk = (a: ArrayLike<number>, b: ArrayLike<number>, has: (edge: number) => boolean): void => {
      for (let edge = 0; edge < a.length; edge++) {
        if (a[edge] === joint && has(edge)) reached.add(b[edge]!);
        else if (b[edge] === joint && has(edge)) reached.add(a[edge]!);
      }
    };
    walk(contactA, contactB, hasContact);
    walk(loadA, loadB, hasLoad);
    for (const { primary, secondary } of circuit.machine.transformers)
      for (const [a, b] of [primary, secondary]) walk([jointOf[a]!], [jointOf[b]!], () => true);
  }
  return reached;
}

function edgesOf(
  circuit: Circuit,
  hasContact: (contact: ContactId) => boolean,
  hasLoad: (load: LoadId) => boolean,
): CircuitEdge[] {
  const { machine } = circuit;
  const edges: CircuitEdge[] = [];
  const add = (kind: CircuitEdge["kind"], id: number) => edges.push(edgeOf(machine, { kind, id }));
  for (const { id } of machine.contacts) if (hasContact(id)) add("contact", id);
  for (const { id } of machine.loads) if (hasLoad(id)) add("load", id);
  for (let id = 0; id < 2 * machine.transformers.length; id++) add("winding", id);
  return edges;
}

/** The edge of that kind and number. */
export function edgeOf(machine: Machine, { kind, id }: Pick<CircuitEdge, "kind" | "id">): CircuitEdge {
  if (kind === "winding") {
    const { part, primary, secondary } = machine.transformers[id >> 1]!;
    const [a, b] = id % 2 === 0 ? primary : secondary;
    return { kind, id, part, a, b };
  }
  const { part, a, b } = kind === "contact" ? machine.contacts[id]! : machine.loads[id]!;
  return { kind, id, part, a, b };
}

function graphOf(
  circuit: Circuit,
  edges: readonly CircuitEdge[],
  joints: Iterable<number> = circuit.terminalsOf.keys(),
): CircuitGraph {
  const graph: CircuitGraph = new Graph({ directed: false, multigraph: true });
  for (const joint of joints) {
    const legs = [...circuit.legJoint.keys()].filter((leg) => circuit.legJoint[leg] === joint);
    graph.setNode(nodeOf(joint), { joint, terminals: circuit.terminalsOf[joint]!, legs });
  }
  for (const edge of edges) {
    const [from, to] = [nodeOf(circuit.jointOf[edge.a]!), nodeOf(circuit.jointOf[edge.b]!)];
    if (from !== to && graph.hasNode(from) && graph.hasNode(to))
      graph.setEdge(from, to, edge, `${edge.kind} ${edge.id}`);
  }
  return graph;
}

/**
 * The legs that each joint can reach, as bit masks over `Supply.legs`: through closed contacts alone, and through contacts and
 * conducting loads. A walk ends at the first leg it meets.
 */
export function legsReached(
  circuit: Circuit,
  state: MachineState,
): { readonly byContacts: Int32Array; readonly byAnything: Int32Array } {
  const graph = conductingGraph(circuit, state);
  const isLeg = new Set(circuit.legJoint);
  const walk = (through: (edge: CircuitEdge) => boolean): Int32Array => {
    const reached = new Int32Array(circuit.jointCount);
    circuit.legJoint.forEach((start, leg) => {
      const queue = [start];
      const bit = 1 << leg;
      reached[start]! |= bit;
      for (const joint of queue) {
        if (joint !== start && isLeg.has(joint)) continue;
        for (const { v, w, name } of graph.nodeEdges(nodeOf(joint)) ?? []) {
          if (!through(graph.edge(v, w, name)!)) continue;
          const other = Number(v) === joint ? Number(w) : Number(v);
          if (reached[other]! & bit) continue;
          reached[other]! |= bit;
          queue.push(other);
        }
      }
    });
    return reached;
  };
  return { byContacts: walk(({ kind }) => kind === "contact"), byAnything: walk(() => true) };
}
