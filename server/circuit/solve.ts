/** circuit + state -> volts and amps everywhere: one state solved. */
import type { Complex, ContactId, LoadId, MachineState } from "../machine/machine.ts";
import { arrange } from "./arrange.ts";
import type { Circuit, Moment, NotSolved, Overrides, ShortCircuit, Solution } from "./circuit.ts";
import { type DiodePaths, findDiodePaths } from "./diodes.ts";
import { findIslands, solveIslands } from "./islands.ts";
import { type Network, networkOf, noSlot } from "./network.ts";
import { cutShorts, findShorts } from "./shorts.ts";
import { tieCurrents } from "./tie-currents.ts";
import { absent, type Workspace, workspaceFor } from "./workspace.ts";

export interface SolveOptions {
  /** Left out: steady. */
  readonly moment?: Moment;
  /** Laid out once per object and kept while it lives: use one object for many states, and do not change it. */
  readonly overrides?: Overrides;
  /** This contact taken out: as when overrides have it open, and nothing is laid out for it. */
  readonly without?: ContactId;
}

/**
 * Solves one state. Never throws for a machine that is whole; what cannot be told as a number is NaN and listed in `shorts`
 * or `notSolved`. The state is kept in the solution as it is, not copied.
 *
 * With the supply off every live leg is at 0 V. Joints that closed contacts make one share their volts; parts that nothing
 * ties to a leg are at 0 V and not fed. Legs tied together keep their own volts, each joint of the short those of the nearest.
 */
export function solveState(circuit: Circuit, state: MachineState, options?: SolveOptions): Solution {
  const network = networkOf(circuit, options?.overrides);
  const w = workspaceFor(network);
  const { shorts, diodes, notTold } = solved(network, w, state, options);
  return readOut(network, w, state, shorts, diodes, notTold);
}

/** Watts that all loads take in a state, those not told as numbers left out: as the sum of `loadWatts` of its solution, sooner told. */
export function wattsTaken(circuit: Circuit, state: MachineState): number {
  const network = networkOf(circuit, undefined);
  // Half-waves are told apart only in the whole solution.
  const whole = network.hasDiodes ? solveState(circuit, state).loadWatts : undefined;
  const w = workspaceFor(network);
  if (!whole) solved(network, w, state, undefined);
  let sum = 0;
  for (let load = 0; load < circuit.machine.loads.length; load++) {
    const watts = whole ? whole[load]! : loadWatts(network, w, load);
    if (!Number.isNaN(watts)) sum += watts;
  }
  return sum;
}

/** What every load draws in a state, by load id, A. */
export interface SolvedLoads {
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** No legs are tied, and there are no diodes, transformers or loads without ohms: currents are those of single branches. */
  readonly isPlain: boolean;
}

/** The `loadAmps` of a state's solution, sooner told. */
export function solvedLoads(circuit: Circuit, state: MachineState, moment: Moment | undefined): SolvedLoads {
  const network = networkOf(circuit);
  const options = moment ? { moment } : undefined;
  if (network.hasDiodes || network.transformers.length > 0)
    return { ...solveState(circuit, state, options).loadAmps, isPlain: false };
  const w = workspaceFor(network);
  const { shorts } = solved(network, w, state, options);
  const { loadSlot, splitSlot } = network;
  if (shorts.length > 0 || w.tieClosed.indexOf(1, loadSlot) >= 0)
    return { ...solveState(circuit, state, options).loadAmps, isPlain: false };
  return { re: w.ampsRe.slice(loadSlot, splitSlot), im: w.ampsIm.slice(loadSlot, splitSlot), isPlain: true };
}

/** Volts across a load, as in the state's solution, sooner told; undefined where legs are tied to each other. */
export function voltsAcross(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  overrides: Overrides,
): number | undefined {
  const network = networkOf(circuit, overrides);
  if (network.hasDiodes || network.transformers.length > 0) {
    const { loadVolts, shorts } = solveState(circuit, state, { overrides });
    return shorts.length > 0 ? undefined : Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!);
  }
  const w = workspaceFor(network);
  const { shorts, supplyVolts } = layOut(network, w, state, undefined);
  if (shorts.length > 0) return undefined;
  const a = w.groupOf[network.branchA[network.loadSlot + load]!]!;
  const b = w.groupOf[network.branchB[network.loadSlot + load]!]!;
  findIslands(network, w);
  solveIslands(network, w, supplyVolts, [a, b]);
  return Math.hypot(w.voltsRe[a]! - w.voltsRe[b]!, w.voltsIm[a]! - w.voltsIm[b]!);
}

/** The state in the workspace, all volts and the currents of branches worked out. */
function solved(
  network: Network,
  w: Workspace,
  state: MachineState,
  options: SolveOptions | undefined,
): { readonly shorts: readonly ShortCircuit[]; readonly diodes: DiodePaths; readonly notTold: readonly number[] } {
  const { shorts, supplyVolts } = layOut(network, w, state, options?.moment, options?.without);
  const diodes: DiodePaths = network.hasDiodes ? findDiodePaths(network, w) : { halfWave: [], unsolved: [] };
  for (const { branches } of diodes.unsolved) for (const slot of branches) w.branchKind[slot] = absent;
  findIslands(network, w);
  const notTold = solveIslands(network, w, supplyVolts);
  for (const { branches, groups } of diodes.unsolved) {
    for (const slot of branches) w.ampsRe[slot] = w.ampsIm[slot] = Number.NaN;
    for (const group of groups) {
      w.voltsRe[group] = w.voltsIm[group] = Number.NaN;
      w.islandFed[w.islands.find(group)] = 1;
    }
  }
  return { shorts, diodes, notTold };
}

/** What is tied to what in a state, and the volts of the legs: all that comes before there is anything to solve. */
export function layOut(
  network: Network,
  w: Workspace,
  state: MachineState,
  moment: Moment | undefined,
  without?: ContactId,
): { readonly shorts: readonly ShortCircuit[]; readonly supplyVolts: number } {
  const on = state[network.circuit.machine.supply.control] === 0;
  arrange(network, w, state, moment, without);
  makeGroups(network, w);
  const shorts = on ? findShorts(network, w) : [];
  if (shorts.length > 0) {
    cutShorts(network, w);
    makeGroups(network, w);
  }
  return { shorts, supplyVolts: fixLegs(network, w, on) };
}

/** Merges joints along closed ties. */
function makeGroups(network: Network, w: Workspace): void {
  w.groups.reset(network.jointCount);
  for (let tie = 0; tie < network.tieCount; tie++)
    if (w.tieClosed[tie] === 1) w.groups.join(network.tieA[tie]!, network.tieB[tie]!);
  for (let joint = 0; joint < network.jointCount; joint++) w.groupOf[joint] = w.groups.find(joint);
  w.isLeg.fill(0);
  for (const leg of network.legs) w.isLeg[network.circuit.legJoint[leg]!] = 1;
}

/** Gives the groups of legs their volts; returns the largest. */
function fixLegs(network: Network, w: Workspace, on: boolean): number {
  w.fixed.fill(0);
  let largest = 0;
  // From the last to the first, so that the first of several legs on one joint is the one that counts.
  for (let i = network.legs.length - 1; i >= 0; i--) {
    const leg = network.legs[i]!;
    const group = w.groupOf[network.circuit.legJoint[leg]!]!;
    const re = on ? network.legRe[leg]! : 0;
    const im = on ? network.legIm[leg]! : 0;
    w.fixed[group] = 1;
    w.voltsRe[group] = re;
    w.voltsIm[group] = im;
    largest = Math.max(largest, Math.abs(re) + Math.abs(im));
  }
  return largest;
}

interface Phasors {
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Cuts the arrays of one solution from one block: allocating each by itself takes longer than solving. */
class Block {
  readonly #buffer: ArrayBuffer;
  #used = 0;

  constructor(numbers: number) {
    this.#buffer = new ArrayBuffer(8 * numbers);
  }

  numbers(length: number): Float64Array {
    const array = new Float64Array(this.#buffer, this.#used, length);
    this.#used += 8 * length;
    return array;
  }

  phasors(length: number): Phasors {
    return { re: this.numbers(length), im: this.numbers(length) };
  }
}

const noPhasors: Phasors = { re: new Float64Array(0), im: new Float64Array(0) };
const noCaseAmps: ReadonlyMap<LoadId, Complex> = new Map();

function readOut(
  network: Network,
  w: Workspace,
  state: MachineState,
  shorts: readonly ShortCircuit[],
  diodes: DiodePaths,
  notTold: readonly number[],
): Solution {
  const { circuit, jointCount, loadSlot } = network;
  const { machine } = circuit;
  const contactCount = machine.contacts.length;
  const loadCount = machine.loads.length;
  const block = new Block(2 * (jointCount + contactCount + circuit.legJoint.length) + 5 * loadCount);
  const joints = block.phasors(jointCount);
  const fed = new Uint8Array(jointCount);
  for (let joint = 0; joint < jointCount; joint++) {
    const group = w.groupOf[joint]!;
    joints.re[joint] = w.voltsRe[group]!;
    joints.im[joint] = w.voltsIm[group]!;
    fed[joint] = w.fixed[group] || w.islandFed[w.islands.find(group)] ? 1 : 0;
  }

  const loadVolts = block.phasors(loadCount);
  for (let load = 0; load < loadCount; load++) {
    const a = circuit.loadA[load]!;
    const b = circuit.loadB[load]!;
    loadVolts.re[load] = joints.re[a]! - joints.re[b]!;
    loadVolts.im[load] = joints.im[a]! - joints.im[b]!;
  }
  const rest = diodes.halfWave.length > 0 ? halveWaves(network, w, diodes, loadVolts, joints) : undefined;

  sumBranches(network, w, w.ampsRe, w.ampsIm);
  tieCurrents(network, w);
  const tieRe = rest ? w.tieRe.slice() : w.tieRe;
  const tieIm = rest ? w.tieIm.slice() : w.tieIm;
  const legAmps = readLegs(network, w, shorts.length > 0, block.phasors(circuit.legJoint.length));
  if (rest) addRest(network, w, rest, tieRe, tieIm, legAmps);

  const contactAmps = block.phasors(contactCount);
  for (let contact = 0; contact < contactCount; contact++) {
    const tied = w.tieClosed[contact] !== 0;
    contactAmps.re[contact] = tied ? tieRe[contact]! : w.ampsRe[contact]!;
    contactAmps.im[contact] = tied ? tieIm[contact]! : w.ampsIm[contact]!;
  }
  const loadAmps = block.phasors(loadCount);
  const watts = block.numbers(loadCount);
  for (let load = 0; load < loadCount; load++) {
    const tie = contactCount + load;
    const slot = loadSlot + load;
    const tied = w.tieClosed[tie] !== 0;
    loadAmps.re[load] = tied ? tieRe[tie]! : w.ampsRe[slot]!;
    loadAmps.im[load] = tied ? tieIm[tie]! : w.ampsIm[slot]!;
    watts[load] = loadWatts(network, w, load);
  }
  network.splitLoads.forEach((load, i) => {
    watts[load]! += branchWatts(w, network.splitSlot + i);
  });
  const through = (slot: number): Complex => {
    if (slot === noSlot) return { re: 0, im: 0 };
    return slot < 0 ? { re: tieRe[~slot]!, im: tieIm[~slot]! } : { re: w.ampsRe[slot]!, im: w.ampsIm[slot]! };
  };
  return {
    circuit,
    state,
    joints,
    fed,
    contactAmps,
    loadAmps,
    loadVolts,
    shorts,
    legAmps,
    loadWatts: watts,
    transformerAmps:
      network.transformers.length > 0 ? { re: w.transformerRe.slice(), im: w.transformerIm.slice() } : noPhasors,
    addedAmps: added(network.addedSlot, through),
    caseAmps:
      network.caseSlot.size > 0
        ? new Map([...network.caseSlot].map(([load, slot]) => [load, through(slot)]))
        : noCaseAmps,
    halfWave: diodes.halfWave.flatMap(({ branches }) => loadsOf(network, branches)),
    notSolved: listNotSolved(network, w, diodes, notTold),
  };
}

function added(slots: Int32Array, through: (slot: number) => Complex): Phasors {
  if (slots.length === 0) return noPhasors;
  const amps = Array.from(slots, through);
  return { re: Float64Array.from(amps, ({ re }) => re), im: Float64Array.from(amps, ({ im }) => im) };
}

/** Of a load, or of the first part of one that touches the case. */
function loadWatts(network: Network, w: Workspace, load: LoadId): number {
  const tie = network.circuit.machine.contacts.length + load;
  return w.tieClosed[tie] !== 0 ? 0 : branchWatts(w, network.loadSlot + load);
}

/** What a branch takes, W, with all volts and currents worked out. */
export function branchWatts(w: Workspace, slot: number): number {
  const re = w.ampsRe[slot]!;
  const im = w.ampsIm[slot]!;
  // Absent branches carry 0, or NaN when their piece is not solved.
  return w.branchKind[slot] === absent ? re * 0 : (re * re + im * im) * w.zRe[slot]!;
}

/** Sets the current that leaves each joint. */
function sumBranches(network: Network, w: Workspace, ampsRe: Float64Array, ampsIm: Float64Array): void {
  const { branchA, branchB, branchCount, transformers } = network;
  const { outRe, outIm } = w;
  outRe.fill(0);
  outIm.fill(0);
  for (let slot = 0; slot < branchCount; slot++) {
    const re = ampsRe[slot]!;
    const im = ampsIm[slot]!;
    if (re === 0 && im === 0) continue;
    const a = branchA[slot]!;
    const b = branchB[slot]!;
    if (a === b) continue;
    outRe[a]! += re;
    outIm[a]! += im;
    outRe[b]! -= re;
    outIm[b]! -= im;
  }
  for (let i = 0; i < transformers.length; i++) {
    const { p1, p2, s1, s2, ratio } = transformers[i]!;
    const re = w.transformerRe[i]!;
    const im = w.transformerIm[i]!;
    outRe[p1]! += re / ratio;
    outIm[p1]! += im / ratio;
    outRe[p2]! -= re / ratio;
    outIm[p2]! -= im / ratio;
    outRe[s1]! -= re;
    outIm[s1]! -= im;
    outRe[s2]! += re;
    outIm[s2]! += im;
  }
}

/**
 * What each leg delivers; legs on one joint share alike, since nothing tells how they do, and when their volts differ they
 * are shorted by wire and not told.
 */
function readLegs(network: Network, w: Workspace, shorted: boolean, legAmps: Phasors): Phasors {
  const { legJoint } = network.circuit;
  for (const leg of network.legs) {
    const joint = legJoint[leg]!;
    let sharing = 0;
    for (const other of network.legs) {
      if (legJoint[other] !== joint) continue;
      sharing++;
      if (shorted && (network.legRe[other] !== network.legRe[leg] || network.legIm[other] !== network.legIm[leg]))
        sharing = Number.NaN;
    }
    legAmps.re[leg] = w.outRe[joint]! / sharing;
    legAmps.im[leg] = w.outIm[joint]! / sharing;
  }
  return legAmps;
}

/**
 * Turns full waves on half-wave paths into what flows. A half-wave is half the full wave plus half its rectified wave; the
 * first is added up as a phasor (`w.amps`), the second (returned, rms with the diode's sign) as a plain number, since all
 * paths are in step. Rms of their sum: the root of the sum of squares. Loads get true rms values at once.
 */
function halveWaves(
  network: Network,
  w: Workspace,
  diodes: DiodePaths,
  loadVolts: Phasors,
  joints: Phasors,
): Float64Array {
  const rest = new Float64Array(network.branchCount);
  for (const { diode, branches, groups } of diodes.halfWave) {
    const slot = network.loadSlot + diode;
    const diodeRe = w.ampsRe[slot]!;
    const diodeIm = w.ampsIm[slot]!;
    const size = Math.hypot(diodeRe, diodeIm);
    for (const branch of branches) {
      const along = size > 0 ? (w.ampsRe[branch]! * diodeRe + w.ampsIm[branch]! * diodeIm) / size : 0;
      rest[branch] = along / 2;
      w.ampsRe[branch]! /= 2;
      w.ampsIm[branch]! /= 2;
    }
    for (const load of loadsOf(network, branches)) {
      loadVolts.re[load]! *= Math.SQRT1_2;
      loadVolts.im[load]! *= Math.SQRT1_2;
    }
    openDiodeVolts(network, w, diode, branches, loadVolts);
    const within = new Set(groups);
    for (let joint = 0; joint < network.jointCount; joint++)
      if (within.has(w.groupOf[joint]!)) joints.re[joint] = joints.im[joint] = Number.NaN;
  }
  return rest;
}

/** The diode itself blocks the volts of its path in every other half-wave. */
function openDiodeVolts(
  network: Network,
  w: Workspace,
  diode: LoadId,
  branches: readonly number[],
  loadVolts: Phasors,
): void {
  const { branchA, branchB, loadSlot } = network;
  const slot = loadSlot + diode;
  const reach = (from: number): number => {
    const seen = new Set([from]);
    const queue = [from];
    for (const group of queue) {
      if (w.fixed[group]) return group;
      for (const branch of branches) {
        if (branch === slot || w.branchKind[branch] === absent) continue;
        const a = w.groupOf[branchA[branch]!]!;
        const b = w.groupOf[branchB[branch]!]!;
        const other = a === group ? b : b === group ? a : group;
        if (!seen.has(other)) {
          seen.add(other);
          queue.push(other);
        }
      }
    }
    return from;
  };
  const a = reach(w.groupOf[branchA[slot]!]!);
  const b = reach(w.groupOf[branchB[slot]!]!);
  loadVolts.re[diode] = (w.voltsRe[a]! - w.voltsRe[b]!) * Math.SQRT1_2;
  loadVolts.im[diode] = (w.voltsIm[a]! - w.voltsIm[b]!) * Math.SQRT1_2;
}

/** Adds the rectified part to branches, ties and legs: magnitudes become true rms, angles stay. */
function addRest(
  network: Network,
  w: Workspace,
  rest: Float64Array,
  tieRe: Float64Array,
  tieIm: Float64Array,
  legAmps: Phasors,
): void {
  const kept = { re: w.transformerRe.slice(), im: w.transformerIm.slice() };
  w.transformerRe.fill(0);
  w.transformerIm.fill(0);
  sumBranches(network, w, rest, new Float64Array(rest.length));
  w.transformerRe.set(kept.re);
  w.transformerIm.set(kept.im);
  tieCurrents(network, w);
  const legRest = readLegs(network, w, false, new Block(2 * legAmps.re.length).phasors(legAmps.re.length));
  for (let tie = 0; tie < network.tieCount; tie++) addSquares(tieRe, tieIm, tie, w.tieRe[tie]!);
  for (let leg = 0; leg < legRest.re.length; leg++) addSquares(legAmps.re, legAmps.im, leg, legRest.re[leg]!);
  for (let slot = 0; slot < rest.length; slot++) addSquares(w.ampsRe, w.ampsIm, slot, rest[slot]!);
}

function addSquares(re: Float64Array, im: Float64Array, at: number, rest: number): void {
  if (rest === 0) return;
  const size = Math.hypot(re[at]!, im[at]!);
  if (size === 0) {
    re[at] = rest;
    return;
  }
  const factor = Math.hypot(size, rest) / size;
  re[at]! *= factor;
  im[at]! *= factor;
}

function loadsOf(network: Network, branches: readonly number[]): LoadId[] {
  const loads = new Set<LoadId>();
  for (const slot of branches) {
    if (slot >= network.loadSlot && slot < network.splitSlot) loads.add(slot - network.loadSlot);
    else if (slot >= network.splitSlot && slot < network.fixedSlot)
      loads.add(network.splitLoads[slot - network.splitSlot]!);
  }
  return [...loads];
}

function listNotSolved(network: Network, w: Workspace, diodes: DiodePaths, notTold: readonly number[]): NotSolved[] {
  const windings = network.transformers.length > 0 && w.transformerRe.some(Number.isNaN);
  if (diodes.unsolved.length === 0 && notTold.length === 0 && !windings) return [];
  const list: NotSolved[] = diodes.unsolved.map(({ branches }) => ({
    why: "diode",
    loads: loadsOf(network, branches),
  }));
  const ideal = notTold.filter(
    (slot) => w.fixed[w.groupOf[network.branchA[slot]!]!] && w.fixed[w.groupOf[network.branchB[slot]!]!],
  );
  const resonant = notTold.filter((slot) => !ideal.includes(slot));
  // A winding without series impedance across volts, or shorted, has no current that can be told either.
  if (ideal.length > 0 || (windings && resonant.length === 0))
    list.push({ why: "unknown-short", loads: loadsOf(network, ideal) });
  if (resonant.length > 0) list.push({ why: "resonance", loads: loadsOf(network, resonant) });
  return list;
}
