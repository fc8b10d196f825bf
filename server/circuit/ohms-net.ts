/**
 * The unplugged machine as a meter sees it: loads as resistances between what wires and closed contacts make one. Most of a machine hangs
 * on nothing that the meter reaches, so only the few loads that lie between the two points are looked at.
 */
import type { LoadId, MachineState, TerminalId, WireId } from "../machine/machine.ts";
import type { Circuit } from "./circuit.ts";
import { conditionHolds } from "./condition.ts";
import { DisjointSets } from "./disjoint-sets.ts";
import { solveLinear } from "./linear.ts";

/** A load between two points, or two points that are one at times (the ends of a transformer's winding). */
export interface Resistance {
  readonly a: number;
  readonly b: number;
  /** Left out: a winding. */
  readonly load?: LoadId;
}

/** What lies between two points, in ohm. */
export interface NetReading {
  /** Infinity: open. */
  readonly ohms: number;
  /** Loads that carry a part of the meter's current. */
  readonly through: LoadId[];
}

export interface OhmsNet {
  /** The two points that the meter touches; one number: wires and closed contacts tie them. */
  readonly from: number;
  readonly to: number;
  /** All that can carry current of the meter's, and perhaps some more. */
  readonly between: readonly Resistance[];
}

/**
 * The net between two terminals, wires of `parted` taken off.
 *
 * @returns undefined where a closed contact has a resistance of its own: such a net is left to the solver of whole circuits
 */
export function ohmsNet(
  { machine, jointOf, jointCount }: Circuit,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  parted: ReadonlySet<WireId>,
): OhmsNet | undefined {
  // With all wires on, what they make one is known.
  const whole = parted.size === 0;
  const sets = new DisjointSets(whole ? jointCount : machine.terminals.length);
  const at = (terminal: TerminalId): number => (whole ? jointOf[terminal]! : terminal);
  if (!whole) for (const wire of machine.wires) if (!parted.has(wire.id)) sets.join(wire.a, wire.b);
  for (const contact of machine.contacts) {
    if (!conditionHolds(contact.closed, state)) continue;
    if (contact.ohms !== 0) return undefined;
    sets.join(at(contact.a), at(contact.b));
  }
  const between: Resistance[] = [];
  const add = (one: TerminalId, other: TerminalId, load?: LoadId): void => {
    const [from, to] = [sets.find(at(one)), sets.find(at(other))];
    if (from !== to) between.push(load === undefined ? { a: from, b: to } : { a: from, b: to, load });
  };
  for (const load of machine.loads) add(load.a, load.b, load.id);
  for (const { primary, secondary } of machine.transformers) {
    add(...primary);
    add(...secondary);
  }
  const [from, to] = [sets.find(at(a)), sets.find(at(b))];
  return { from, to, between: from === to ? [] : leadingOn(between, from, to) };
}

/** The net with an ohm value for each resistance: 0 makes its ends one, Infinity leaves it out. */
export function readNet({ from, to, between }: OhmsNet, ohmsOf: (one: Resistance) => number): NetReading {
  if (from === to) return { ohms: 0, through: [] };
  const [only] = between;
  if (only && between.length === 1) {
    const ohms = ohmsOf(only);
    return { ohms, through: ohms > 0 && ohms < Number.POSITIVE_INFINITY ? loadsOf(between) : [] };
  }
  const shorted = new Map<number, number>();
  const rootOf = (point: number): number => {
    let root = point;
    for (let next = shorted.get(root); next !== undefined; next = shorted.get(root)) root = next;
    return root;
  };
  const present: (Resistance & { readonly ohms: number })[] = [];
  for (const one of between) {
    const ohms = ohmsOf(one);
    if (ohms === 0) {
      const [a, b] = [rootOf(one.a), rootOf(one.b)];
      if (a !== b) shorted.set(a, b);
    } else if (ohms < Number.POSITIVE_INFINITY) present.push({ ...one, ohms });
  }
  const [a, b] = [rootOf(from), rootOf(to)];
  if (a === b) return { ohms: 0, through: [] };
  const merged = present.map((one) => ({ ...one, a: rootOf(one.a), b: rootOf(one.b) }));
  return solved(
    leadingOn(
      merged.filter((one) => one.a !== one.b),
      a,
      b,
    ),
    a,
    b,
  );
}

/** Without what leads nowhere: pieces that do not hang on `from`, and dead ends. Nothing where no way leads to `to`. */
function leadingOn<R extends Resistance>(all: readonly R[], from: number, to: number): readonly R[] {
  const at = new Map<number, R[]>();
  for (const one of all) {
    for (const point of [one.a, one.b]) {
      const there = at.get(point);
      if (there) there.push(one);
      else at.set(point, [one]);
    }
  }
  const reached = new Set([from]);
  for (const point of reached) for (const { a, b } of at.get(point) ?? []) reached.add(a === point ? b : a);
  if (!reached.has(to)) return [];
  const gone = new Set<R>();
  const left = new Map<number, number>();
  const ends: number[] = [];
  for (const point of reached) {
    const ways = at.get(point)!.length;
    left.set(point, ways);
    if (ways === 1 && point !== from && point !== to) ends.push(point);
  }
  for (const end of ends) {
    const last = at.get(end)!.find((one) => !gone.has(one));
    if (!last) continue;
    gone.add(last);
    const other = last.a === end ? last.b : last.a;
    const ways = left.get(other)! - 1;
    left.set(other, ways);
    if (ways === 1 && other !== from && other !== to) ends.push(other);
  }
  return all.filter((one) => reached.has(one.a) && !gone.has(one));
}

/** One volt across the two points: ohms are the inverse of the amps. */
function solved(net: readonly (Resistance & { readonly ohms: number })[], from: number, to: number): NetReading {
  if (net.length === 0) return { ohms: Number.POSITIVE_INFINITY, through: [] };
  if (net.length === 1) return { ohms: net[0]!.ohms, through: loadsOf(net) };
  const unknown = new Map<number, number>();
  for (const { a, b } of net)
    for (const point of [a, b])
      if (point !== from && point !== to && !unknown.has(point)) unknown.set(point, unknown.size);
  const n = unknown.size;
  const matrix = new Float64Array(n * n);
  const volts = new Float64Array(n);
  for (const { a, b, ohms } of net) {
    const [i, k] = [unknown.get(a), unknown.get(b)];
    const siemens = 1 / ohms;
    if (i !== undefined) matrix[i * n + i]! += siemens;
    if (k !== undefined) matrix[k * n + k]! += siemens;
    if (i !== undefined && k !== undefined) {
      matrix[i * n + k]! -= siemens;
      matrix[k * n + i]! -= siemens;
    } else if (i !== undefined && b === from) volts[i]! += siemens;
    else if (k !== undefined && a === from) volts[k]! += siemens;
  }
  if (!solveLinear(n, matrix, new Float64Array(n * n), volts, new Float64Array(n)))
    throw new RangeError("floating net");
  const voltsAt = (point: number): number => (point === from ? 1 : point === to ? 0 : volts[unknown.get(point)!]!);
  const ampsOf = ({ a, b, ohms }: (typeof net)[number]): number => (voltsAt(a) - voltsAt(b)) / ohms;
  let amps = 0;
  for (const one of net) if (one.a === from || one.b === from) amps += Math.abs(ampsOf(one));
  return { ohms: 1 / amps, through: loadsOf(net.filter((one) => Math.abs(ampsOf(one)) > 1e-12 * amps)) };
}

function loadsOf(net: readonly Resistance[]): LoadId[] {
  return net.flatMap(({ load }) => (load === undefined ? [] : [load]));
}
