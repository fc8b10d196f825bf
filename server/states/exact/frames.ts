/**
 * What a circuit says about currents and volts by its connections alone, whatever its loads draw: kept, so that an edit of a value
 * finds it again.
 */
import type { ContactId, LoadId } from "../../machine/machine.ts";
import type { StateSet } from "./diagram.ts";
import { conducts } from "./elements.ts";
import { type Flow, isSpecial, type Side } from "./flow.ts";
import type { Kept } from "./kept.ts";
import type { LoadCurrents } from "./load-currents.ts";
import type { LoadWork } from "./load-sets.ts";
import type { Making } from "./making.ts";
import type { Reach } from "./reach.ts";
import type { Rings } from "./rings.ts";
import type { Group } from "./search.ts";

export interface Frame {
  /** Different for each frame. */
  readonly number: number;
  rings?: Rings;
  readonly flows: Map<ContactId, Flow>;
  /** Loads of all sides of a flow, one side after the other. */
  readonly summed: Map<ContactId, readonly LoadId[]>;
  readonly weights: Map<ContactId, SummedLoads>;
  /** By contact, then by the states asked about. */
  readonly carried: Map<ContactId, Map<StateSet, CarryingStates>>;
  /** Questions about contacts whose latest answer was a sum, as `ContactCurrents` numbers them. */
  readonly sums: Set<number>;
  /** What loads drew in the latest analysis that asked, by load. */
  readonly currents: LoadCurrents[];
  /** The same as groups of sums, steady and as the contact makes. */
  readonly groups: Map<Side["loads"][number], Group>;
  readonly startingGroups: Map<Side["loads"][number], Group>;
  /** The latest question of each contact about what it makes, as far as sets answer it. */
  readonly making: Map<ContactId, Making>;
}

/** For each side of a contact's flow: load, how often it counts at most, load, ...; "untold": no sum tells the current in some states. */
export type SummedLoads = readonly (readonly number[])[] | "untold";

/** States in which a closed contact is asked about. */
export interface CarryingStates {
  /** Without volts anywhere. */
  readonly dead: StateSet;
  /** For each side of its flow. */
  readonly sides: readonly StateSet[];
  readonly untold: StateSet;
}

/** Regions for which a contact's states are kept. */
export const MOST_REGIONS = 40;

export type FrameStore = Kept<Frame>;

let frameCount = 0;

const floats = new Float64Array(2);
const ints = new Int32Array(floats.buffer);

/**
 * The frame of a circuit.
 *
 * @param shorted supply on, legs tied
 * @param fed states in which each load has any volts and conducts
 * @param rigid see `flowOf`
 */
export function frameOf(
  work: LoadWork,
  reached: Reach,
  shorted: StateSet,
  fed: (load: number) => StateSet,
  rigid: boolean,
): Frame {
  const { circuit, space, closed, live, frames } = work;
  const { contactA, contactB, loadA, loadB, legJoint, legRe, legIm, machine } = circuit;
  const key = [
    rigid ? 1 : 0,
    isSpecial(work) ? 1 : 0,
    live,
    shorted,
    reached.atRest,
    reached.passing,
    circuit.jointCount,
  ];
  key.push(contactA.length, loadA.length);
  for (let id = 0; id < contactA.length; id++) key.push(closed[id]!, contactA[id]!, contactB[id]!);
  for (let id = 0; id < loadA.length; id++) {
    const conducting = space.withImpedance(machine.loads[id]!, conducts);
    key.push(loadA[id]!, loadB[id]!, conducting, fed(id));
  }
  for (let leg = 0; leg < legJoint.length; leg++) {
    floats[0] = legRe[leg]!;
    floats[1] = legIm[leg]!;
    key.push(legJoint[leg]!, ints[0]!, ints[1]!, ints[2]!, ints[3]!);
  }
  return frames.of(key, () => ({
    number: frameCount++,
    flows: new Map(),
    summed: new Map(),
    weights: new Map(),
    carried: new Map(),
    sums: new Set(),
    currents: [],
    groups: new Map(),
    startingGroups: new Map(),
    making: new Map(),
  }));
}
