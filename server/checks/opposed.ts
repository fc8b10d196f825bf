/** Loads of one part that must never work together, and the single changes that go from one to the other. */
import type { ContactId, ControlId, LoadId, Machine, MachineState } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";
import { momentsFrom } from "../states/moments.ts";
import { anyOf, less, position } from "./ask.ts";
import { movable } from "./changes.ts";
import { alike } from "./weak-states.ts";

/** Names that exclude each other when two windings or coils of one part carry them. Common practice, no published source. */
const OPPOSITES: readonly { readonly turns: boolean; readonly words: readonly string[] }[] = [
  { turns: true, words: ["left", "right"] },
  { turns: true, words: ["forward", "reverse"] },
  { turns: true, words: ["fwd", "rev"] },
  { turns: true, words: ["cw", "ccw"] },
  { turns: true, words: ["clockwise", "counterclockwise", "anticlockwise"] },
  { turns: true, words: ["up", "down"] },
  { turns: true, words: ["raise", "lower"] },
  { turns: true, words: ["open", "close", "shut"] },
  { turns: true, words: ["opening", "closing"] },
  { turns: true, words: ["extend", "retract"] },
  { turns: true, words: ["in", "out"] },
  { turns: false, words: ["high", "medium", "med", "low"] },
  { turns: false, words: ["fast", "slow"] },
  { turns: false, words: ["set", "reset"] },
  { turns: false, words: ["wash", "spin"] },
  { turns: false, words: ["tumble", "spin"] },
];

export interface OpposedPair {
  readonly one: LoadId;
  readonly other: LoadId;
  /** They drive the part in opposite directions (left and right), not at other speeds. */
  readonly turns: boolean;
}

/** Windings or coils of one part whose names exclude each other. */
export function opposedPairs(machine: Machine): OpposedPair[] {
  return machine.parts.flatMap(({ name, loads }) =>
    loads.flatMap((one, at) =>
      loads.slice(at + 1).flatMap((other): OpposedPair[] => {
        const [a, b] = [machine.loads[one]!, machine.loads[other]!];
        if (a.kind !== b.kind || !["winding", "coil", "valve", "pump", "fan"].includes(a.kind)) return [];
        const [x, y] = [a, b].map((load) => load.name.slice(name.length + 1).toLowerCase());
        const found = OPPOSITES.find(({ words }) => x !== y && words.includes(x!) && words.includes(y!));
        return found ? [{ one, other, turns: found.turns }] : [];
      }),
    ),
  );
}

/** States in which closed contacts alone put the load across two legs: fed, and not through another load. */
export function fedDirectly(engine: Engine, id: LoadId): Region {
  const { machine } = engine.circuit;
  const { legs } = machine.supply;
  const load = machine.loads[id]!;
  return anyOf(
    engine,
    legs.flatMap((one, i) =>
      legs.flatMap((other, j) =>
        Math.hypot(one.volts.re - other.volts.re, one.volts.im - other.volts.im) < 1
          ? []
          : [engine.and(engine.tied(load.a, i), engine.tied(load.b, j))],
      ),
    ),
  );
}

/** A single change after which something holds that did not before, with the states passed through on the way. */
export interface Passage {
  readonly before: MachineState;
  readonly control: ControlId;
  readonly to: number;
  /** States that are not at rest, the first one right after the change. */
  readonly moving: readonly MachineState[];
}

/** Different states before the same change that are looked at. */
const MOST_LOOKS = 4;

/** Single changes of inputs that lead from a state of `from` to a state of `to`, a few for each control and position. */
export function* passages(engine: Engine, from: Region, to: Region): Generator<Passage | undefined> {
  const { machine } = engine.circuit;
  if (!engine.moved || engine.isEmpty(from) || engine.isEmpty(to)) return;
  for (const control of machine.controls) {
    if (control.settled) continue;
    for (let at = 0; at < control.positions.length; at++) {
      yield undefined;
      const sources = less(
        engine,
        from,
        engine.where([[{ control: control.id, positions: position(machine, control.id, at) }]]),
      );
      if (engine.isEmpty(sources)) continue;
      let left = engine.and(engine.moved(sources, control.id, at), to);
      for (let look = 0; look < MOST_LOOKS; look++) {
        const after = engine.witness(left);
        if (!after) break;
        left = less(engine, left, alike(engine, after));
        const before = engine.witness(engine.and(sources, sourcesOf(engine, control.id, at, after)));
        if (!before) continue;
        const start = before.slice();
        start[control.id] = at;
        yield { before, control: control.id, to: at, moving: momentsFrom(engine.circuit, start).moving };
      }
    }
  }
}

/** States from which the control may be moved so, all other inputs standing as in `after`. */
function sourcesOf(engine: Engine, control: ControlId, at: number, after: MachineState): Region {
  const { machine } = engine.circuit;
  const others = engine.where([
    machine.controls
      .filter(({ id, settled }) => !settled && id !== control)
      .map(({ id }) => ({ control: id, positions: position(machine, id, after[id]!) })),
  ]);
  const may = machine.controls[control]!.positions.map((_, p) =>
    p === at ? engine.none() : movable(engine, control, p, at),
  );
  return engine.and(others, anyOf(engine, may));
}

/** Joints made one by these closed contacts: the group of each joint. */
export function groupsOf(engine: Engine, closed: (contact: ContactId) => boolean): Int32Array {
  const { circuit } = engine;
  const group = Int32Array.from({ length: circuit.jointCount }, (_, i) => i);
  const find = (joint: number): number => {
    let at = joint;
    while (group[at] !== at) at = group[at] = group[group[at]!]!;
    return at;
  };
  for (const { id } of circuit.machine.contacts)
    if (closed(id)) group[find(circuit.contactA[id]!)] = find(circuit.contactB[id]!);
  return group.map((_, joint) => find(joint));
}

/** With joints grouped so and the supply on, the load lies across two legs with volts between them. */
export function acrossLegs(engine: Engine, groups: Int32Array, id: LoadId): boolean {
  const { circuit } = engine;
  const { legs } = circuit.machine.supply;
  const at = (joint: number): number[] =>
    legs.flatMap((_, leg) => (groups[circuit.legJoint[leg]!] === groups[joint] ? [leg] : []));
  const [a, b] = [at(circuit.loadA[id]!), at(circuit.loadB[id]!)];
  return a.some((i) =>
    b.some((j) => Math.hypot(circuit.legRe[i]! - circuit.legRe[j]!, circuit.legIm[i]! - circuit.legIm[j]!) >= 1),
  );
}
