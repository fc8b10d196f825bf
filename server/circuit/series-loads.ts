/** Which loads a load's current flows through: what stands in series with it, in one state. */
import { Beside } from "../base/beside.ts";
import type { LoadId, MachineState } from "../machine/machine.ts";
import type { Circuit, Overrides, Solution } from "./circuit.ts";
import { findIslands, solveIslands } from "./islands.ts";
import { networkOf } from "./network.ts";
import { layOut, solveState } from "./solve.ts";
import { neighboursOf } from "./surroundings.ts";
import { absent, workspaceFor } from "./workspace.ts";

/** Volts across one load, and the loads through which they come. */
export interface SeriesLoads {
  /** Magnitude. */
  readonly volts: number;
  readonly loads: readonly LoadId[];
}

/** Below this, ampere, a load carries nothing. */
const NO_AMPS = 1e-6;

/**
 * Volts across a load, and which of the loads beside it carry its current: open one of those alone and less than half of the volts
 * is left. A state is laid out once, since taking a load out changes nothing but its branch.
 */
export function seriesLoads(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  beside: readonly LoadId[],
): SeriesLoads {
  const network = networkOf(circuit, undefined);
  const w = workspaceFor(network);
  const { shorts, supplyVolts } = layOut(network, w, state, undefined);
  const contactCount = circuit.machine.contacts.length;
  const special =
    network.hasDiodes ||
    network.transformers.length > 0 ||
    shorts.length > 0 ||
    w.tieClosed[contactCount + load] !== 0 ||
    beside.some((id) => w.tieClosed[contactCount + id] !== 0);
  if (special) return seriesLoadsOneByOne(circuit, state, load, beside);
  const { loadSlot, branchA, branchB } = network;
  const a = w.groupOf[branchA[loadSlot + load]!]!;
  const b = w.groupOf[branchB[loadSlot + load]!]!;
  const across = (): number => {
    findIslands(network, w);
    solveIslands(network, w, supplyVolts, [a, b]);
    return Math.hypot(w.voltsRe[a]! - w.voltsRe[b]!, w.voltsIm[a]! - w.voltsIm[b]!);
  };
  const volts = across();
  if (!(volts > 0)) return { volts, loads: [] };
  const carrying = beside.filter((id) => Math.hypot(w.ampsRe[loadSlot + id]!, w.ampsIm[loadSlot + id]!) > NO_AMPS);
  const loads = carrying.filter((id) => {
    const kind = w.branchKind[loadSlot + id]!;
    w.branchKind[loadSlot + id] = absent;
    const left = across();
    w.branchKind[loadSlot + id] = kind;
    return left < volts / 2;
  });
  return { volts, loads };
}

/**
 * Loads on the only way out of an end of the load, in whatever state: where at each joint nothing else branches off, all of its current
 * flows through them.
 */
export function alwaysInSeries(circuit: Circuit, load: LoadId): readonly LoadId[] {
  const { contactA, contactB, loadA, loadB } = circuit;
  const { isLeg, contacts, loads, windings } = neighboursOf(circuit);
  const found: LoadId[] = [];
  for (const end of [loadA[load]!, loadB[load]!]) {
    let joint = end;
    let from = { contact: -1, load };
    const met = new Set<number>();
    while (!isLeg[joint] && !met.has(joint) && windings[joint]!.length === 0) {
      met.add(joint);
      const on = contacts[joint]!.filter((id) => id !== from.contact);
      const through = loads[joint]!.filter((id) => id !== from.load);
      if (on.length + through.length !== 1) break;
      const [contact] = on;
      const next = through[0];
      if (contact !== undefined) joint = contactA[contact] === joint ? contactB[contact]! : contactA[contact]!;
      else if (next !== undefined) {
        found.push(next);
        joint = loadA[next] === joint ? loadB[next]! : loadA[next]!;
      }
      from = { contact: contact ?? -1, load: next ?? -1 };
    }
  }
  return found;
}

const openings = new Beside<Circuit, Map<LoadId, Overrides>>();

/** One load open: the same object each time, with which what is laid out is kept. */
function opening(circuit: Circuit, load: LoadId): Overrides {
  const known = openings.get(circuit) ?? new Map<LoadId, Overrides>();
  openings.set(circuit, known);
  const made = known.get(load) ?? { loads: new Map([[load, { as: "open" as const }]]) };
  known.set(load, made);
  return made;
}

/** The same where opening a load changes more than its branch. */
function seriesLoadsOneByOne(
  circuit: Circuit,
  state: MachineState,
  load: LoadId,
  beside: readonly LoadId[],
): SeriesLoads {
  const across = ({ loadVolts }: Solution): number => Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!);
  const before = solveState(circuit, state);
  const volts = across(before);
  if (!(volts > 0)) return { volts, loads: [] };
  const { re, im } = before.loadAmps;
  const loads = beside.filter(
    (id) =>
      Math.hypot(re[id]!, im[id]!) > NO_AMPS &&
      across(solveState(circuit, state, { overrides: opening(circuit, id) })) < volts / 2,
  );
  return { volts, loads };
}
