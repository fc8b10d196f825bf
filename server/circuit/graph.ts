/**
 * The circuit as a graph: joints are nodes, contacts, loads and transformer windings are edges between them. For tracing and
 * pictures; the solver and the engines do not use it in their loops.
 */
import { Graph } from "@dagrejs/graphlib";
import type { ContactId, LoadId, MachineState, PartId, TerminalId } from "../machine/machine.ts";
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
  return graphOf(
    circuit,
    () => true,
    () => true,
  );
}

/** What conducts in a state: closed contacts and loads that have an impedance then. */
export function conductingGraph(circuit: Circuit, state: MachineState): CircuitGraph {
  const { contacts, loads } = circuit.machine;
  return graphOf(
    circuit,
    (contact) => conditionHolds(contacts[contact]!.closed, state),
    (load) => loads[load]!.kind === "diode" || loadImpedance(loads[load]!, state) !== undefined,
  );
}

function graphOf(
  circuit: Circuit,
  hasContact: (contact: ContactId) => boolean,
  hasLoad: (load: LoadId) => boolean,
): CircuitGraph {
  const graph: CircuitGraph = new Graph({ directed: false, multigraph: true });
  for (let joint = 0; joint < circuit.jointCount; joint++) {
    const legs = [...circuit.legJoint.keys()].filter((leg) => circuit.legJoint[leg] === joint);
    graph.setNode(nodeOf(joint), { joint, terminals: circuit.terminalsOf[joint]!, legs });
  }
  const add = (edge: CircuitEdge): void => {
    const [from, to] = [circuit.jointOf[edge.a]!, circuit.jointOf[edge.b]!];
    if (from !== to) graph.setEdge(nodeOf(from), nodeOf(to), edge, `${edge.kind} ${edge.id}`);
  };
  const { contacts, loads, transformers } = circuit.machine;
  for (const { id, part, a, b } of contacts) if (hasContact(id)) add({ kind: "contact", id, part, a, b });
  for (const { id, part, a, b } of loads) if (hasLoad(id)) add({ kind: "load", id, part, a, b });
  transformers.forEach(({ part, primary, secondary }, i) => {
    add({ kind: "winding", id: 2 * i, part, a: primary[0], b: primary[1] });
    add({ kind: "winding", id: 2 * i + 1, part, a: secondary[0], b: secondary[1] });
  });
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
