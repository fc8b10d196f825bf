/** What a state makes of the network: which ties are closed and which impedance each branch has. */
import type { ContactId, Load, LoadId, MachineState } from "../machine/machine.ts";
import type { Moment } from "./circuit.ts";
import { conditionHolds } from "./condition.ts";
import {
  contactClosed,
  contactNormal,
  loadNormal,
  loadOhms,
  loadOpen,
  loadShorted,
  loadSplit,
  type Network,
} from "./network.ts";
import { absent, ordinary, stiff, type Workspace } from "./workspace.ts";

/** Below this, ohm, a branch's current becomes an unknown of its own instead of a huge admittance. */
const stiffOhms = 1e-3;

/** Sets `tieClosed` and the branches of the workspace. `without`: this contact taken out, snubber and all. */
export function arrange(
  network: Network,
  w: Workspace,
  state: MachineState,
  moment: Moment | undefined,
  without?: ContactId,
): void {
  const { contacts, loads } = network.circuit.machine;
  w.tieClosed.fill(0);
  w.branchKind.fill(absent);
  for (let contact = 0; contact < contacts.length; contact++) {
    if (contact === without) continue;
    const mode = network.contactMode[contact]!;
    const closed = mode === contactNormal ? conditionHolds(contacts[contact]!.closed, state) : mode === contactClosed;
    const ohms = network.contactOhms[contact]!;
    if (closed && ohms === 0) w.tieClosed[contact] = 1;
    else if (closed) setBranch(w, contact, ohms, 0);
    else if (network.contactLeak[contact]! > 0) setBranch(w, contact, 0, -1 / network.contactLeak[contact]!);
  }
  const inrush = moment?.at === "inrush" ? moment.loads : undefined;
  for (let load = 0; load < loads.length; load++) arrangeLoad(network, w, loads[load]!, state, inrush);
  for (let tie = contacts.length + loads.length; tie < network.tieCount; tie++) w.tieClosed[tie] = 1;
  for (let slot = network.fixedSlot; slot < network.branchCount; slot++)
    setBranch(w, slot, network.fixedRe[slot - network.fixedSlot]!, network.fixedIm[slot - network.fixedSlot]!);
}

/**
 * The impedance of a load as its control stands; undefined when it does not conduct. In its first moment a load that
 * conducts has its inrush impedance, when it has one.
 */
export function loadImpedance(load: Load, state: MachineState, inrush?: readonly LoadId[]): Load["inrush"] {
  const { control, impedance } = load;
  const normal = impedance[control === undefined || impedance.length === 1 ? 0 : state[control]!];
  return normal && load.inrush && inrush?.includes(load.id) ? load.inrush : normal;
}

function arrangeLoad(
  network: Network,
  w: Workspace,
  load: Load,
  state: MachineState,
  inrush: readonly LoadId[] | undefined,
): void {
  const slot = network.loadSlot + load.id;
  const tie = network.circuit.machine.contacts.length + load.id;
  const mode = network.loadMode[load.id]!;
  if (mode === loadOpen) return;
  if (mode === loadShorted) w.tieClosed[tie] = 1;
  else if (mode === loadOhms) setLoad(w, slot, tie, network.loadResistance[load.id]!, 0);
  else if (network.isDiode[load.id]) {
    // Conducting, until the diodes are looked at.
    w.branchKind[slot] = stiff;
    w.zRe[slot] = 0;
    w.zIm[slot] = 0;
  } else if (mode === loadNormal || mode === loadSplit) {
    const impedance = loadImpedance(load, state, inrush);
    if (!impedance) return;
    if (mode === loadNormal) {
      setLoad(w, slot, tie, impedance.re, impedance.im);
      return;
    }
    const share = network.loadShare[load.id]!;
    setBranch(w, slot, impedance.re * share, impedance.im * share);
    const second = network.splitSlot + network.splitLoads.indexOf(load.id);
    setBranch(w, second, impedance.re * (1 - share), impedance.im * (1 - share));
  }
}

function setLoad(w: Workspace, slot: number, tie: number, re: number, im: number): void {
  if (re === 0 && im === 0) w.tieClosed[tie] = 1;
  else setBranch(w, slot, re, im);
}

export function setBranch(w: Workspace, slot: number, re: number, im: number): void {
  const square = re * re + im * im;
  // Infinite or unknown: does not conduct.
  if (!(square < Number.POSITIVE_INFINITY)) return;
  w.branchKind[slot] = square < stiffOhms * stiffOhms ? stiff : ordinary;
  w.zRe[slot] = re;
  w.zIm[slot] = im;
  w.yRe[slot] = square > 0 ? re / square : 0;
  w.yIm[slot] = square > 0 ? -im / square : 0;
}
