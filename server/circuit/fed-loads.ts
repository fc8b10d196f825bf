/** Which loads one contact feeds in a state: only what hangs on the contact is solved a second time, with the contact open. */
import { Beside } from "../base/beside.ts";
import type { ContactId, LoadId, MachineState } from "../machine/machine.ts";
import type { Circuit, Moment } from "./circuit.ts";
import { findIslands, solveIslands } from "./islands.ts";
import { type Network, networkOf } from "./network.ts";
import { layOut, type SolvedLoads, solvedLoads, solveState } from "./solve.ts";
import { type Workspace, workspaceFor } from "./workspace.ts";

/** Below this a load's current is not worth telling, A. */
const LEAST_AMPS = 1e-6;

/** Loads whose current falls by more than half when the contact alone opens, with what every load draws before: by load id, A. */
export interface Fed {
  readonly loads: readonly LoadId[];
  readonly re: Float64Array;
  readonly im: Float64Array;
}

export function fedLoads(circuit: Circuit, contact: ContactId, state: MachineState, moment?: Moment): Fed {
  const closed = solvedLately(circuit, state, moment);
  const { re, im } = closed;
  const network = networkOf(circuit);
  const loads: LoadId[] = [];
  const take = (load: LoadId, openRe: number, openIm: number): void => {
    if (Math.hypot(openRe, openIm) < Math.hypot(re[load]!, im[load]!) / 2) loads.push(load);
  };
  if (closed.isPlain && network.contactOhms[contact] === 0) openAlone(network, contact, state, moment, closed, take);
  else {
    const open = solveState(circuit, state, { without: contact, ...(moment ? { moment } : {}) }).loadAmps;
    for (let load = 0; load < re.length; load++)
      if (Math.hypot(re[load]!, im[load]!) > LEAST_AMPS) take(load, open.re[load]!, open.im[load]!);
  }
  return { loads, re, im };
}

/**
 * Tells what loads draw with the contact open, those alone that this can change: a contact without ohms that opens parts one group of joints
 * in two, and what does not hang on one of them, other than by a leg, stays as it is.
 */
function openAlone(
  network: Network,
  contact: ContactId,
  state: MachineState,
  moment: Moment | undefined,
  closed: SolvedLoads,
  tell: (load: LoadId, re: number, im: number) => void,
): void {
  const w = workspaceFor(network);
  const { supplyVolts } = layOut(network, w, state, moment, contact);
  const parted = [w.groupOf[network.tieA[contact]!]!, w.groupOf[network.tieB[contact]!]!];
  if (parted[0] === parted[1]) return;
  findIslands(network, w);
  solveIslands(network, w, supplyVolts, parted);
  const islands = parted.map((group) => (w.fixed[group] === 1 ? -1 : w.islands.find(group)));
  for (let load = 0; load < closed.re.length; load++) {
    if (!(Math.hypot(closed.re[load]!, closed.im[load]!) > LEAST_AMPS)) continue;
    const slot = network.loadSlot + load;
    const island = islandOf(network, w, slot);
    if (island >= 0 && islands.includes(island)) tell(load, w.ampsRe[slot]!, w.ampsIm[slot]!);
  }
}

/** -1 for a branch from leg to leg. */
function islandOf({ branchA, branchB }: Network, { groupOf, fixed, islands }: Workspace, slot: number): number {
  const a = groupOf[branchA[slot]!]!;
  if (fixed[a] !== 1) return islands.find(a);
  const b = groupOf[branchB[slot]!]!;
  return fixed[b] === 1 ? -1 : islands.find(b);
}

interface Lately {
  readonly state: MachineState;
  readonly moment: Moment | undefined;
  readonly solved: SolvedLoads;
}

const lately = new Beside<Circuit, Lately[]>();
const MOST_SOLVED = 20;

/** Contacts are mostly at their worst in few different states. */
function solvedLately(circuit: Circuit, state: MachineState, moment: Moment | undefined): SolvedLoads {
  let all = lately.get(circuit);
  if (all === undefined) lately.set(circuit, (all = []));
  const known = all.find((one) => isSame(one.state, state) && isSameMoment(one.moment, moment));
  if (known !== undefined) return known.solved;
  const solved = solvedLoads(circuit, state, moment);
  if (all.length >= MOST_SOLVED) all.length = 0;
  all.push({ state, moment, solved });
  return solved;
}

function isSameMoment(a: Moment | undefined, b: Moment | undefined): boolean {
  const startingA = a?.at === "inrush" ? a.loads : [];
  const startingB = b?.at === "inrush" ? b.loads : [];
  return isSame(startingA, startingB);
}

function isSame(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}
