/** A load that touches the metal round it, at several places along it in one state: laid out once, and solved near the load alone. */
import { Beside } from "../base/beside.ts";
import type { Complex, LoadId, MachineState } from "../machine/machine.ts";
import { loadImpedance, setBranch } from "./arrange.ts";
import type { Circuit, Overrides } from "./circuit.ts";
import { findIslands, solveIslands } from "./islands.ts";
import { networkOf } from "./network.ts";
import { branchWatts, layOut, solveState } from "./solve.ts";
import { workspaceFor } from "./workspace.ts";

export interface TouchingCase {
  /** What the load takes, W; NaN: not told. */
  readonly watts: number;
  /** Into the metal, A; undefined where the touching point is tied to the metal anyhow. */
  readonly amps: Complex | undefined;
}

/** Resistance where they touch, ohm. */
const TOUCH_OHMS = 0.001;

/**
 * The same as `solveState` with each place as an override.
 *
 * @param shares places, 0 at the load's first terminal, 1 at its second
 */
export function touchingCase(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  shares: readonly number[],
): readonly TouchingCase[] {
  const inside = shares.filter((share) => share > 0 && share < 1);
  const alike = inside.length > 1 ? alongLoad(circuit, state, load, inside) : undefined;
  return shares.map((share) => {
    const known = alike?.[inside.indexOf(share)] ?? atEnd(circuit, state, load, share);
    if (known) return known;
    const { loadWatts, caseAmps } = solveState(circuit, state, { overrides: touching(circuit, load, share) });
    return { watts: loadWatts[load]!, amps: caseAmps.get(load) };
  });
}

/** Between the ends only the two parts of the load differ from place to place. Undefined where amounts are not those of plain branches. */
function alongLoad(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  shares: readonly number[],
): readonly TouchingCase[] | undefined {
  const network = networkOf(circuit, touching(circuit, load, shares[0]!));
  const slot = network.caseSlot.get(load);
  if (network.hasDiodes || network.transformers.length > 0 || slot === undefined || slot < 0) return undefined;
  const z = loadImpedance(circuit.machine.loads[load]!, state);
  const w = workspaceFor(network);
  const { shorts, supplyVolts } = layOut(network, w, state, undefined);
  if (!z || shorts.length > 0) return undefined;
  const first = network.loadSlot + load;
  const second = network.splitSlot;
  const point = w.groupOf[network.branchB[first]!]!;
  return shares.map((share) => {
    setBranch(w, first, z.re * share, z.im * share);
    setBranch(w, second, z.re * (1 - share), z.im * (1 - share));
    findIslands(network, w);
    solveIslands(network, w, supplyVolts, [point]);
    const watts = branchWatts(w, first) + branchWatts(w, second);
    return { watts, amps: { re: w.ampsRe[slot]!, im: w.ampsIm[slot]! } };
  });
}

/** At an end of the load: nothing but what hangs on its ends or on the metal is solved. Undefined as above, and between the ends. */
function atEnd(circuit: Circuit, state: MachineState, load: LoadId, share: number): TouchingCase | undefined {
  const network = networkOf(circuit, touching(circuit, load, share));
  const slot = network.caseSlot.get(load);
  if (network.hasDiodes || network.transformers.length > 0 || slot === undefined || slot < 0) return undefined;
  const w = workspaceFor(network);
  const { shorts, supplyVolts } = layOut(network, w, state, undefined);
  const own = network.loadSlot + load;
  if (shorts.length > 0 || network.splitLoads.length > 0 || w.tieClosed[own] !== 0) return undefined;
  const { branchA, branchB } = network;
  findIslands(network, w);
  const joints = [branchA[own]!, branchB[own]!, branchA[slot]!, branchB[slot]!];
  solveIslands(
    network,
    w,
    supplyVolts,
    joints.map((joint) => w.groupOf[joint]!),
  );
  return { watts: branchWatts(w, own), amps: { re: w.ampsRe[slot]!, im: w.ampsIm[slot]! } };
}

const touches = new Beside<Circuit, Map<string, Overrides>>();

/** The same object each time, with which what is laid out is kept. */
function touching(circuit: Circuit, load: LoadId, share: number): Overrides {
  const known = touches.get(circuit) ?? new Map<string, Overrides>();
  touches.set(circuit, known);
  const key = `${load} ${share}`;
  const made = known.get(key) ?? { loads: new Map([[load, { as: "to-case" as const, share, ohms: TOUCH_OHMS }]]) };
  known.set(key, made);
  return made;
}
