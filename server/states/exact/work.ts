/** All that an analysis rests on before it asks what loads do: for a circuit, and for one that differs from a known one in its legs alone. */
import type { Circuit } from "../../circuit/circuit.ts";
import { type Diagrams, EMPTY, type StateSet } from "./diagram.ts";
import { conducts, type Elements, elementsOf, retyped } from "./elements.ts";
import type { EngineMemory } from "./engine-memory.ts";
import { type LegReach, legReach, legReachFrom, linksAt } from "./leg-reach.ts";
import { type LoadWork, largestLeg, loadTypes } from "./load-sets.ts";
import { Pieces, type ShapeAt } from "./pieces.ts";
import { Space } from "./space.ts";
import { type Zone, zonesOf } from "./zones.ts";

/** Pieces that one analysis may work out. */
export const DEFAULT_BUDGET = 20_000;

export interface WorkMade {
  readonly work: LoadWork;
  readonly legs: LegReach;
}

/** @param budget pieces that may be worked out */
export function workOf(circuit: Circuit, memory: EngineMemory, budget = DEFAULT_BUDGET): WorkMade {
  const space = new Space(circuit, memory.fit(circuit));
  const { machine } = circuit;
  const { diagrams } = space;
  const closed = Int32Array.from(machine.contacts, (contact) => space.condition(contact.closed));
  const dead = machine.loads.map((load) =>
    load.kind === "diode" ? EMPTY : space.withImpedance(load, (z) => z !== undefined && z.re === 0 && z.im === 0),
  );
  const { legs, zones, contactsAt } = connectionsOf(circuit, memory, diagrams, closed, dead);
  const typeOf = loadTypes(circuit, memory.types);
  const elements = elementsOf(circuit, memory.elements, memory.types, typeOf, largestLeg(circuit));
  const work: LoadWork = {
    circuit,
    space,
    pieces: piecesOf(circuit, memory, diagrams, elements, budget),
    store: memory.store,
    outcomes: memory.outcomes,
    values: memory.values,
    types: memory.types,
    elements,
    legs: memory.legs(circuit),
    typeOf,
    zones,
    known: memory.zones,
    frames: memory.frames,
    searches: memory.searches,
    contactsAt,
    closed,
    legReach: legs.reach,
    live: liveIn(space, legs),
  };
  return { work, legs };
}

/** What hangs on how things are connected alone, whatever loads draw. */
export interface Connections {
  readonly legs: LegReach;
  readonly zones: readonly Zone[];
  readonly contactsAt: LoadWork["contactsAt"];
}

const floats = new Float64Array(1);
const ints = new Int32Array(floats.buffer);

/** Found again by the content of all that decides it; ids are part of that. */
function connectionsOf(
  circuit: Circuit,
  memory: EngineMemory,
  diagrams: Diagrams,
  closed: Int32Array,
  dead: readonly StateSet[],
): Connections {
  const { machine, jointCount, jointOf, contactA, contactB, loadA, loadB, legJoint, legRe, legIm } = circuit;
  const key = [jointCount, contactA.length, loadA.length, legJoint.length, machine.transformers.length];
  const float = (value: number): void => {
    floats[0] = value;
    key.push(ints[0]!, ints[1]!);
  };
  for (let id = 0; id < contactA.length; id++) {
    key.push(contactA[id]!, contactB[id]!, closed[id]!);
    float(machine.contacts[id]!.ohms);
  }
  for (let id = 0; id < loadA.length; id++) key.push(loadA[id]!, loadB[id]!, dead[id]!);
  for (let leg = 0; leg < legJoint.length; leg++) {
    key.push(legJoint[leg]!);
    float(legRe[leg]!);
    float(legIm[leg]!);
  }
  for (const { primary, secondary } of machine.transformers)
    for (const terminal of [...primary, ...secondary]) key.push(jointOf[terminal]!);
  return memory.connections.of(key, () => ({
    legs: legReach(circuit, diagrams, closed, dead),
    zones: zonesOf(circuit),
    contactsAt: linksAt(jointCount, contactA, contactB),
  }));
}

/**
 * The same for a circuit that differs in its legs alone: those of the known one, some of them lost, at volts of their own. Undefined where more
 * than that would have to be worked out.
 */
export function workForLegs(
  known: WorkMade,
  circuit: Circuit,
  memory: EngineMemory,
  budget = DEFAULT_BUDGET,
): WorkMade | undefined {
  const { work } = known;
  const { types, space } = work;
  const most = largestLeg(circuit);
  const before = largestLeg(work.circuit);
  const own = work.circuit.machine.supply.legs.map(({ terminal }) => terminal);
  const kept = circuit.machine.supply.legs.map(({ terminal }) => own.indexOf(terminal));
  if (most === 0 || before === 0 || kept.includes(-1)) return undefined;
  const typeOf = most === before ? work.typeOf : loadTypes(circuit, types);
  const elements = most === before ? work.elements : retyped(work.elements, circuit, types, typeOf, most);
  const legs = legReachFrom(known.legs, kept, circuit, space.diagrams);
  const sameJoints = kept.length === own.length && kept.every((leg, index) => leg === index);
  const changed: LoadWork = {
    ...work,
    circuit,
    typeOf,
    elements,
    pieces: piecesOf(circuit, work, space.diagrams, elements, budget),
    legs: memory.legs(circuit),
    zones: sameJoints ? work.zones : zonesWithout(work.zones, kept, circuit),
    legReach: legs.reach,
    live: liveIn(space, legs),
  };
  return { work: changed, legs };
}

const zonesOfLegs = new WeakMap<readonly Zone[], Map<string, readonly Zone[]>>();

/** @param known with all legs, the same ones for the same connections; `kept`: those that are left of them */
function zonesWithout(known: readonly Zone[], kept: readonly number[], circuit: Circuit): readonly Zone[] {
  let byLegs = zonesOfLegs.get(known);
  if (byLegs === undefined) zonesOfLegs.set(known, (byLegs = new Map()));
  const key = kept.join();
  let zones = byLegs.get(key);
  if (zones === undefined) byLegs.set(key, (zones = zonesOf(circuit)));
  return zones;
}

function piecesOf(
  { legRe, legIm }: Circuit,
  { types, store }: Pick<LoadWork, "types" | "store">,
  diagrams: Diagrams,
  { typeOf }: Elements,
  budget: number,
): Pieces {
  const potential = Array.from(legRe, (re, leg) =>
    legRe.findIndex((other, k) => other === re && legIm[k] === legIm[leg]),
  );
  const shapeAt: ShapeAt = (element, position) => {
    const z = types.types[typeOf[element]!]!.impedance[position];
    return !conducts(z) ? "nothing" : z!.re === 0 && z!.im === 0 ? "no ohms" : "ohms";
  };
  return new Pieces(diagrams, store, shapeAt, potential, budget);
}

/** Supply on and no legs tied. */
function liveIn(space: Space, { shorted }: LegReach): StateSet {
  return space.diagrams.minus(space.at(space.machine.supply.control, 0), shorted);
}
