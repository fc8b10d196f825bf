/** Continuity paths of a load: every way from leg to leg through it, step by step as a technician traces them. */

import { Beside } from "../base/beside.ts";
import { LazyFields } from "../base/lazy-fields.ts";
import type { ContactId, LoadId, MachineState, PartId, TerminalId, WireId } from "../machine/machine.ts";
import type { Circuit } from "./circuit.ts";
import { type CircuitEdge, type CircuitGraph, conductingGraph, conductingKey, edgeOf, nodeOf } from "./graph.ts";

/** Through one part: in at a terminal, out at another. */
export interface PathStep {
  readonly part: PartId;
  /** One of the two; neither for a transformer winding. */
  readonly contact?: ContactId;
  readonly load?: LoadId;
  readonly in: TerminalId;
  readonly out: TerminalId;
  /** Wires from the terminal before (the leg, or the step before's `out`) to `in`; empty when they are one terminal. */
  readonly wires: readonly WireId[];
}

const withWires = new LazyFields<Pick<PathStep, "wires">>("wires");

export interface ContinuityPath {
  /** Legs as indexes into `Supply.legs`: the live one first, of two live ones the first in the text. */
  readonly from: number;
  readonly to: number;
  readonly steps: readonly PathStep[];
  /** Wires from the last step to the leg `to`. */
  readonly lastWires: readonly WireId[];
  /** Loads on the way beside the one asked about: it is in series with them here. */
  readonly otherLoads: readonly LoadId[];
}

const withLastWires = new LazyFields<Pick<ContinuityPath, "lastWires">>("lastWires");

export interface ContinuityPaths {
  /** Fewest other loads first, then fewest steps. */
  readonly paths: readonly ContinuityPath[];
  /** When a limit ended the search: a sentence that says so. */
  readonly notice?: string;
}

export interface PathLimits {
  /** Paths to return; 50 when left out. */
  readonly paths?: number;
  /** Stretches to look at before giving up; 20,000 when left out. */
  readonly stretches?: number;
}

/** A chain of edges from one end of the load to a leg, joints never met twice. */
interface HalfPath {
  readonly joints: readonly number[];
  readonly edges: readonly CircuitEdge[];
  readonly loads: number;
}

/** A path by numbers alone. */
export interface Way {
  readonly from: number;
  readonly to: number;
  readonly edges: readonly Pick<CircuitEdge, "kind" | "id">[];
  readonly joints: readonly number[];
  /** How many loads are on the way beside the one asked about. */
  readonly others: number;
}

/**
 * Every simple path from leg to leg (of different volts) through a load in a state, through closed contacts and conducting
 * loads. None when the load does not conduct in the state or no leg is in reach at one of its ends.
 */
export function continuityPaths(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  limits: PathLimits = {},
): ContinuityPaths {
  const { ways, cut } = continuityWays(circuit, state, load, limits);
  const paths = ways.map((way) => wholePath(circuit, load, way));
  if (!cut) return { paths };
  return {
    paths,
    notice: `More ways lead through ${circuit.machine.loads[load]!.name} than are listed; the ${paths.length} shortest are shown.`,
  };
}

/** The same paths without terminals and wires; `cut` when a limit ended the search. */
export function continuityWays(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  limits: PathLimits = {},
): { readonly ways: readonly Way[]; readonly cut: boolean } {
  const { chains, cut } = chainsOf(circuit, state, load, limits);
  return { ways: chains.map((chain) => wayOf(circuit, load, chain)), cut };
}

/** Those with fewest other loads: beside a way without one, hardly any current takes one through another load. */
export function plainest(ways: readonly Way[]): readonly Way[] {
  return ways.filter(({ others }) => others === ways[0]?.others);
}

/** Half of a path as it is kept: by numbers alone, the load's end first. */
interface HalfChain {
  readonly joints: readonly number[];
  readonly edges: readonly Pick<CircuitEdge, "kind" | "id">[];
}

interface Chains {
  readonly chains: readonly { readonly atA: HalfChain; readonly atB: HalfChain }[];
  /** A limit ended the search. */
  readonly cut: boolean;
}

/** Paths of the loads of some machines, each in some states. */
const mostKept = 200;
const kept = new Map<string, Chains>();

/** Searched once for what conducts: an edit of watts, names or contacts that stand open changes nothing. */
function chainsOf(circuit: Circuit, state: MachineState, load: LoadId, limits: PathLimits): Chains {
  const key = `${load} ${limits.paths} ${limits.stretches} ${conductingKey(circuit, state)}`;
  const known = kept.get(key);
  const chains = known ?? searched(circuit, state, load, limits);
  // The latest stand last.
  kept.delete(key);
  kept.set(key, chains);
  if (kept.size > mostKept) kept.delete(kept.keys().next().value!);
  return chains;
}

function searched(circuit: Circuit, state: MachineState, load: LoadId, limits: PathLimits): Chains {
  const { loadA, loadB } = circuit;
  const [a, b] = [loadA[load]!, loadB[load]!];
  const graph = conductingGraph(circuit, state, [a, b]);
  if (a === b || !graph.hasEdge(nodeOf(a), nodeOf(b), `load ${load}`)) return { chains: [], cut: false };
  const most = limits.paths ?? 50;
  const budget = { stretches: limits.stretches ?? 20_000 };
  const fromA = halfPaths(circuit, graph, a, b, budget);
  const fromB = halfPaths(circuit, graph, b, a, budget);

  const chains: { atA: HalfChain; atB: HalfChain }[] = [];
  let cut = budget.stretches <= 0;
  // Few legs have the same pair twice; the halves come shortest first, so a bound on pairs keeps the shortest.
  const pairs: [HalfPath, HalfPath][] = [];
  for (const one of fromA) for (const other of fromB) pairs.push([one, other]);
  pairs.sort((x, y) => cost(x) - cost(y));
  for (const [one, other] of pairs) {
    if (!joinable(circuit, one, other)) continue;
    if (chains.length === most) {
      cut = true;
      break;
    }
    chains.push({ atA: chainOf(one), atB: chainOf(other) });
  }
  return { chains, cut };
}

function chainOf({ joints, edges }: HalfPath): HalfChain {
  return { joints, edges: edges.map(({ kind, id }) => ({ kind, id })) };
}

function cost([one, other]: readonly [HalfPath, HalfPath]): number {
  return 1000 * (one.loads + other.loads) + one.edges.length + other.edges.length;
}

/** Half paths that a search keeps at each end of the load: pairs of them stay few enough to sort. */
const mostHalves = 300;

/** Ways from a joint to legs that avoid the joint `not`, fewest loads first, then shortest. */
function halfPaths(
  circuit: Circuit,
  graph: CircuitGraph,
  start: number,
  not: number,
  budget: { stretches: number },
): HalfPath[] {
  const isLeg = new Set(circuit.legJoint);
  const found: HalfPath[] = [];
  // One queue per number of loads, each of them in order of length.
  const queues: HalfPath[][] = [[{ joints: [start], edges: [], loads: 0 }]];
  for (let loads = 0; loads < queues.length; loads++) {
    const queue = (queues[loads] ??= []);
    // A stretch with as many loads may have come from a longer one with fewer: order by length within the queue.
    queue.sort((x, y) => x.edges.length - y.edges.length);
    for (let head = 0; head < queue.length; head++) {
      const path = queue[head]!;
      if (budget.stretches-- <= 0 || found.length === mostHalves) {
        budget.stretches = Math.min(budget.stretches, 0);
        return found;
      }
      const last = path.joints[path.joints.length - 1]!;
      if (isLeg.has(last)) {
        found.push(path);
        continue;
      }
      for (const { v, w, name } of graph.nodeEdges(nodeOf(last)) ?? []) {
        const other = Number(v) === last ? Number(w) : Number(v);
        if (other === not || path.joints.includes(other)) continue;
        const edge = graph.edge(v, w, name)!;
        const more = path.loads + (edge.kind === "contact" ? 0 : 1);
        (queues[more] ??= []).push({
          joints: [...path.joints, other],
          edges: [...path.edges, edge],
          loads: more,
        });
      }
    }
  }
  return found;
}

function joinable(circuit: Circuit, one: HalfChain, other: HalfChain): boolean {
  const [from, to] = [legOf(circuit, one), legOf(circuit, other)];
  if (circuit.legRe[from] === circuit.legRe[to] && circuit.legIm[from] === circuit.legIm[to]) return false;
  return !one.joints.some((joint) => other.joints.includes(joint));
}

/** The leg at the end of a half path; the first in the text when several share the joint. */
function legOf(circuit: Circuit, half: HalfChain): number {
  return circuit.legJoint.indexOf(half.joints[half.joints.length - 1]!);
}

function wayOf(
  circuit: Circuit,
  load: LoadId,
  { atA, atB }: { readonly atA: HalfChain; readonly atB: HalfChain },
): Way {
  const { legs } = circuit.machine.supply;
  const [legA, legB] = [legOf(circuit, atA), legOf(circuit, atB)];
  const isLive = (leg: number): number => (legs[leg]!.role === "live" ? 0 : 1);
  const forwards = isLive(legA) - isLive(legB) || legA - legB;
  const [first, second] = forwards <= 0 ? [atA, atB] : [atB, atA];
  const [from, to] = forwards <= 0 ? [legA, legB] : [legB, legA];
  const edges = [...first.edges.toReversed(), { kind: "load", id: load } as const, ...second.edges];
  const joints = [...first.joints.toReversed(), ...second.joints];
  return { from, to, edges, joints, others: edges.filter(({ kind }) => kind === "load").length - 1 };
}

function wholePath(circuit: Circuit, load: LoadId, { from, to, edges: chain, joints }: Way): ContinuityPath {
  const { legs } = circuit.machine.supply;
  const edges = chain.map((one) => edgeOf(circuit.machine, one));
  const steps: PathStep[] = [];
  let at = legs[from]!.terminal;
  edges.forEach((edge, i) => {
    const entersAtA = circuit.jointOf[edge.a] === joints[i];
    const [enter, leave] = entersAtA ? [edge.a, edge.b] : [edge.b, edge.a];
    const before = at;
    const step = {
      part: edge.part,
      ...(edge.kind === "contact" ? { contact: edge.id } : edge.kind === "load" ? { load: edge.id } : {}),
      in: enter,
      out: leave,
    };
    // Looked for when somebody reads them: most ask for parts only.
    steps.push(withWires.add(step, () => wiresBetween(circuit, before, enter)));
    at = leave;
  });
  const otherLoads = steps.flatMap((step) => (step.load === undefined || step.load === load ? [] : [step.load]));
  return withLastWires.add({ from, to, steps, otherLoads }, () => wiresBetween(circuit, at, legs[to]!.terminal));
}

const wiresAt = new Beside<Circuit, readonly (readonly WireId[])[]>();

/** The fewest wires that lead from one terminal to another of the same joint. */
export function wiresBetween(circuit: Circuit, from: TerminalId, to: TerminalId): WireId[] {
  if (from === to) return [];
  const { wires, terminals } = circuit.machine;
  let at = wiresAt.get(circuit);
  if (!at) {
    const lists: WireId[][] = terminals.map(() => []);
    for (const { id, a, b } of wires) {
      lists[a]!.push(id);
      if (a !== b) lists[b]!.push(id);
    }
    wiresAt.set(circuit, (at = lists));
  }
  const cameBy = new Map<TerminalId, WireId | undefined>([[from, undefined]]);
  const queue = [from];
  for (const terminal of queue) {
    if (terminal === to) break;
    for (const id of at[terminal]!) {
      const { a, b } = wires[id]!;
      const other = a === terminal ? b : a;
      if (cameBy.has(other)) continue;
      cameBy.set(other, id);
      queue.push(other);
    }
  }
  const chain: WireId[] = [];
  for (let terminal = to, wire = cameBy.get(to); wire !== undefined; wire = cameBy.get(terminal)) {
    chain.push(wire);
    terminal = wires[wire]!.a === terminal ? wires[wire]!.b : wires[wire]!.a;
  }
  return chain.reverse();
}
