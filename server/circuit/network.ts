/**
 * The circuit with its overrides worked in, laid out for solving: what never changes between states is computed here once.
 *
 * Two kinds of edges. A tie joins two joints without resistance while it is closed (contacts, shorted loads, added
 * connections of 0 ohm). A branch has an impedance (loads, contacts with ohms, leaking contacts, added resistances).
 * Both are numbered in fixed slots, so that a state only says which are there and with what impedance.
 */
import { Beside } from "../base/beside.ts";
import type { Complex, LoadId, Machine, TerminalId, WireId } from "../machine/machine.ts";
import { buildCircuit } from "./build.ts";
import type { Circuit, Override, Overrides } from "./circuit.ts";

export const contactNormal = 0;
export const contactOpen = 1;
export const contactClosed = 2;

export const loadNormal = 0;
export const loadOpen = 1;
export const loadShorted = 2;
export const loadOhms = 3;
/** Touches the case part way: two branches, first terminal to the touching joint and from there to the second. */
export const loadSplit = 4;

export interface Network {
  readonly circuit: Circuit;
  readonly overrides: Overrides | undefined;
  readonly jointCount: number;

  /** Slots: contacts, then loads (when of 0 ohm), then added connections of 0 ohm. */
  readonly tieCount: number;
  readonly tieA: Int32Array;
  readonly tieB: Int32Array;
  /** Ties at each joint: `tiesOf[tieStart[joint] .. tieStart[joint + 1] - 1]`. */
  readonly tieStart: Int32Array;
  readonly tiesOf: Int32Array;
  /** Index into `overrides.added` of each tie after contacts and loads; -1 for a touch of the case. */
  readonly fixedTieAdded: readonly number[];

  readonly contactMode: Uint8Array;
  /** Resistance while closed, ohm; 0 makes the contact a tie. */
  readonly contactOhms: Float64Array;
  /** Susceptance while open, siemens: a snubber. */
  readonly contactLeak: Float64Array;
  readonly hasLowOhms: boolean;

  readonly loadMode: Uint8Array;
  readonly loadResistance: Float64Array;
  /** For `loadSplit`: where it touches, 0..1. */
  readonly loadShare: Float64Array;
  readonly hasDiodes: boolean;
  readonly isDiode: Uint8Array;

  /** Slots: contacts, loads, second parts of split loads, fixed resistances, magnetising impedances. */
  readonly branchCount: number;
  readonly branchA: Int32Array;
  readonly branchB: Int32Array;
  readonly loadSlot: number;
  readonly splitSlot: number;
  readonly splitLoads: readonly LoadId[];
  readonly fixedSlot: number;
  /** Impedance of the branches from `fixedSlot` on. */
  readonly fixedRe: Float64Array;
  readonly fixedIm: Float64Array;
  /** Branch slot (or, when negative, ~tie slot) of each added connection; `none` when both ends are one joint. */
  readonly addedSlot: Int32Array;
  /** The same for loads that touch the case. */
  readonly caseSlot: ReadonlyMap<LoadId, number>;

  readonly transformers: readonly NetworkTransformer[];

  /** Legs that are not lost: indexes into `Supply.legs`. */
  readonly legs: readonly number[];
  readonly legRe: Float64Array;
  readonly legIm: Float64Array;
  readonly live: Uint8Array;
}

export interface NetworkTransformer {
  readonly p1: number;
  readonly p2: number;
  readonly s1: number;
  readonly s2: number;
  readonly ratio: number;
  readonly seriesRe: number;
  readonly seriesIm: number;
}

/** In `addedSlot` and `caseSlot`: no current can be told, both ends are one joint. */
export const noSlot = 0x7fffffff;

/**
 * A chain of contacts of at most this resistance still counts as a short: at 120 V it would pass 120 A, several times any
 * appliance breaker (common practice, no published source).
 */
export const shortOhms = 1;

interface Edge {
  readonly a: number;
  readonly b: number;
  readonly ohms: number;
  readonly added?: number;
  readonly touching?: LoadId;
}

/** Lays out a circuit with its overrides. Cost grows with the machine's size; `networkOf` keeps the result. */
export function layOutNetwork(base: Circuit, overrides: Overrides | undefined): Network {
  const machine = base.machine;
  const parted = partedWires(overrides);
  const splitLoads = splitLoadsOf(machine, overrides);
  const rebuilt = parted.size > 0 || splitLoads.length > 0;
  const circuit =
    parted.size > 0 ? buildCircuit(machine, parted, splitLoads.length) : withMoreJoints(base, splitLoads.length);
  const firstExtra = circuit.jointCount - (rebuilt ? splitLoads.length : 0);
  const edges = fixedEdges(circuit, overrides, splitLoads, firstExtra);
  const fixedTies = edges.filter(({ ohms }) => ohms === 0);
  const fixedBranches = edges.filter(({ ohms }) => ohms !== 0);

  const contacts = machine.contacts.length;
  const loads = machine.loads.length;
  const tieCount = contacts + loads + fixedTies.length;
  const tieA = new Int32Array(tieCount);
  const tieB = new Int32Array(tieCount);
  tieA.set(circuit.contactA);
  tieB.set(circuit.contactB);
  tieA.set(circuit.loadA, contacts);
  tieB.set(circuit.loadB, contacts);
  fixedTies.forEach(({ a, b }, i) => {
    tieA[contacts + loads + i] = a;
    tieB[contacts + loads + i] = b;
  });

  const loadSlot = contacts;
  const splitSlot = contacts + loads;
  const fixedSlot = splitSlot + splitLoads.length;
  const branchCount = fixedSlot + fixedBranches.length + machine.transformers.length;
  const branchA = new Int32Array(branchCount);
  const branchB = new Int32Array(branchCount);
  branchA.set(circuit.contactA);
  branchB.set(circuit.contactB);
  branchA.set(circuit.loadA, loadSlot);
  branchB.set(circuit.loadB, loadSlot);
  splitLoads.forEach((load, i) => {
    branchB[loadSlot + load] = firstExtra + i;
    branchA[splitSlot + i] = firstExtra + i;
    branchB[splitSlot + i] = circuit.loadB[load]!;
  });
  const fixedRe = new Float64Array(branchCount - fixedSlot);
  const fixedIm = new Float64Array(branchCount - fixedSlot);
  fixedBranches.forEach(({ a, b, ohms }, i) => {
    branchA[fixedSlot + i] = a;
    branchB[fixedSlot + i] = b;
    fixedRe[i] = ohms;
  });
  const transformers = machine.transformers.map((transformer, i): NetworkTransformer => {
    const joint = (terminal: TerminalId): number => circuit.jointOf[terminal]!;
    const [p1, p2, s1, s2] = [...transformer.primary, ...transformer.secondary].map(joint) as [
      number,
      number,
      number,
      number,
    ];
    const at = fixedBranches.length + i;
    branchA[fixedSlot + at] = p1;
    branchB[fixedSlot + at] = p2;
    // A magnetising impedance of 0 means none is told: the winding then draws nothing of its own.
    const { magnetising, series, ratio } = transformer;
    const none = magnetising.re === 0 && magnetising.im === 0;
    fixedRe[at] = none ? Number.POSITIVE_INFINITY : magnetising.re;
    fixedIm[at] = magnetising.im;
    return { p1, p2, s1, s2, ratio, seriesRe: series.re, seriesIm: series.im };
  });

  const addedSlot = new Int32Array(overrides?.added?.length ?? 0).fill(noSlot);
  const caseSlot = new Map<LoadId, number>();
  const note = (edge: Edge, slot: number): void => {
    if (edge.added !== undefined) addedSlot[edge.added] = slot;
    if (edge.touching !== undefined) caseSlot.set(edge.touching, slot);
  };
  fixedTies.forEach((edge, i) => {
    note(edge, ~(contacts + loads + i));
  });
  fixedBranches.forEach((edge, i) => {
    note(edge, fixedSlot + i);
  });

  const contactPart = layOutContacts(machine, overrides);
  const legPart = layOutLegs(circuit, overrides);
  return {
    circuit,
    overrides,
    jointCount: circuit.jointCount,
    tieCount,
    tieA,
    tieB,
    ...tiesByJoint(circuit.jointCount, tieA, tieB),
    fixedTieAdded: fixedTies.map(({ added }) => added ?? -1),
    ...contactPart,
    hasLowOhms: lowOhms(contactPart.contactOhms),
    ...layOutLoads(machine, overrides, splitLoads),
    branchCount,
    branchA,
    branchB,
    loadSlot,
    splitSlot,
    splitLoads,
    fixedSlot,
    fixedRe,
    fixedIm,
    addedSlot,
    caseSlot,
    transformers,
    ...legPart,
  };
}

/** The circuit with joints without a terminal at the end. */
function withMoreJoints(circuit: Circuit, joints: number): Circuit {
  if (joints === 0) return circuit;
  const extra = Array.from({ length: joints }, () => []);
  return { ...circuit, jointCount: circuit.jointCount + joints, terminalsOf: [...circuit.terminalsOf, ...extra] };
}

function partedWires(overrides: Overrides | undefined): Set<WireId> {
  const parted = new Set<WireId>();
  for (const [wire, { as, ...rest }] of overrides?.wires ?? [])
    if (as === "open" || (as === "ohms" && "ohms" in rest && rest.ohms > 0)) parted.add(wire);
  return parted;
}

/** Loads that touch the case strictly between their ends; each needs a joint of its own. */
function splitLoadsOf(machine: Machine, overrides: Overrides | undefined): LoadId[] {
  const split: LoadId[] = [];
  for (const [load, override] of overrides?.loads ?? [])
    if (override.as === "to-case" && override.share > 0 && override.share < 1 && machine.loads[load]) split.push(load);
  return split;
}

/** Every connection that overrides add: jumpers, wires with ohms, touches of the case. */
function fixedEdges(
  circuit: Circuit,
  overrides: Overrides | undefined,
  splitLoads: readonly LoadId[],
  firstExtra: number,
): Edge[] {
  if (!overrides) return [];
  const { machine, jointOf } = circuit;
  const edges: Edge[] = [];
  const add = (edge: Edge): void => {
    if (edge.a !== edge.b && edge.ohms < Number.POSITIVE_INFINITY) edges.push(edge);
  };
  overrides.added?.forEach(({ a, b, ohms }, added) => {
    add({ a: jointOf[a]!, b: jointOf[b]!, ohms, added });
  });
  for (const [id, override] of overrides.wires ?? []) {
    const wire = machine.wires[id];
    if (!wire) continue;
    if (override.as === "ohms") add({ a: jointOf[wire.a]!, b: jointOf[wire.b]!, ohms: override.ohms });
    if (override.as === "to-case")
      addCase(override, machine.terminals[wire.a]!.part, jointOf[override.share < 0.5 ? wire.a : wire.b]!);
  }
  for (const [id, override] of overrides.contacts ?? []) {
    const contact = machine.contacts[id];
    if (contact && override.as === "to-case")
      addCase(override, contact.part, (override.share < 0.5 ? circuit.contactA : circuit.contactB)[id]!);
  }
  for (const [id, override] of overrides.loads ?? []) {
    const load = machine.loads[id];
    if (!load || override.as !== "to-case") continue;
    const split = splitLoads.indexOf(id);
    const touching = split >= 0 ? firstExtra + split : (override.share <= 0 ? circuit.loadA : circuit.loadB)[id]!;
    addCase(override, load.part, touching, id);
  }
  return edges;

  function addCase(override: Override & { as: "to-case" }, part: number, a: number, touching?: LoadId): void {
    const terminal = caseTerminal(machine, part);
    if (terminal !== undefined)
      add({ a, b: jointOf[terminal]!, ohms: override.ohms, ...(touching === undefined ? {} : { touching }) });
  }
}

/** What a fault to the case of a part touches: the part's own frame, else the protective leg. */
export function caseTerminal(machine: Machine, part: number): TerminalId | undefined {
  return machine.parts[part]?.frame ?? machine.supply.legs.find(({ role }) => role === "protective")?.terminal;
}

function layOutContacts(
  machine: Machine,
  overrides: Overrides | undefined,
): Pick<Network, "contactMode" | "contactOhms" | "contactLeak"> {
  const count = machine.contacts.length;
  const contactMode = new Uint8Array(count);
  const contactOhms = new Float64Array(count);
  const contactLeak = new Float64Array(count);
  // An open triac leaks through its snubber capacitor; the leakage is stated at the volts of one live leg.
  const volts = Math.max(0, ...machine.supply.legs.map(({ volts: { re, im } }) => Math.hypot(re, im)));
  for (const contact of machine.contacts) {
    contactOhms[contact.id] = contact.ohms;
    if (contact.leaks && volts > 0) contactLeak[contact.id] = contact.leaks / volts;
    const override = overrides?.contacts?.get(contact.id);
    if (!override) continue;
    if (override.as === "open") {
      contactMode[contact.id] = contactOpen;
      contactLeak[contact.id] = 0;
    } else if (override.as === "closed") {
      contactMode[contact.id] = contactClosed;
    } else if (override.as === "ohms") contactOhms[contact.id] = override.ohms;
  }
  return { contactMode, contactOhms, contactLeak };
}

function layOutLoads(
  machine: Machine,
  overrides: Overrides | undefined,
  splitLoads: readonly LoadId[],
): Pick<Network, "loadMode" | "loadResistance" | "loadShare" | "isDiode" | "hasDiodes"> {
  const count = machine.loads.length;
  const loadMode = new Uint8Array(count);
  const loadResistance = new Float64Array(count);
  const loadShare = new Float64Array(count);
  const isDiode = new Uint8Array(count);
  for (const load of machine.loads) {
    const override = overrides?.loads?.get(load.id);
    if (override?.as === "open") loadMode[load.id] = loadOpen;
    else if (override?.as === "closed") loadMode[load.id] = loadShorted;
    else if (override?.as === "ohms") {
      loadMode[load.id] = loadOhms;
      loadResistance[load.id] = override.ohms;
    } else if (override?.as === "to-case" && splitLoads.includes(load.id)) {
      loadMode[load.id] = loadSplit;
      loadShare[load.id] = override.share;
    }
    // A diode that is open, shorted or replaced by a resistance is a diode no longer.
    if (load.kind === "diode" && loadMode[load.id] === loadNormal) isDiode[load.id] = 1;
  }
  return { loadMode, loadResistance, loadShare, isDiode, hasDiodes: isDiode.includes(1) };
}

function layOutLegs(
  circuit: Circuit,
  overrides: Overrides | undefined,
): Pick<Network, "legs" | "legRe" | "legIm" | "live"> {
  const { legs } = circuit.machine.supply;
  const scale = overrides?.supplyScale ?? 1;
  const volts: Complex[] = legs.map(({ volts: { re, im } }) => ({ re: re * scale, im: im * scale }));
  if (overrides?.swapped) {
    const live = legs.findIndex(({ role }) => role === "live");
    const neutral = legs.findIndex(({ role }) => role === "neutral");
    const onlyOne = legs.filter(({ role }) => role === "live").length === 1;
    if (live >= 0 && neutral >= 0 && onlyOne) [volts[live], volts[neutral]] = [volts[neutral]!, volts[live]!];
  }
  const kept = legs.flatMap(({ terminal }, index) => (overrides?.lostLegs?.includes(terminal) ? [] : [index]));
  return {
    legs: kept,
    legRe: Float64Array.from(volts, ({ re }) => re),
    legIm: Float64Array.from(volts, ({ im }) => im),
    live: Uint8Array.from(volts, ({ re, im }) => (re !== 0 || im !== 0 ? 1 : 0)),
  };
}

function tiesByJoint(jointCount: number, tieA: Int32Array, tieB: Int32Array): Pick<Network, "tieStart" | "tiesOf"> {
  const tieStart = new Int32Array(jointCount + 1);
  for (let tie = 0; tie < tieA.length; tie++) {
    if (tieA[tie] === tieB[tie]) continue;
    tieStart[tieA[tie]! + 1]!++;
    tieStart[tieB[tie]! + 1]!++;
  }
  for (let joint = 0; joint < jointCount; joint++) tieStart[joint + 1]! += tieStart[joint]!;
  const tiesOf = new Int32Array(tieStart[jointCount]!);
  const next = tieStart.slice();
  for (let tie = 0; tie < tieA.length; tie++) {
    if (tieA[tie] === tieB[tie]) continue;
    tiesOf[next[tieA[tie]!]!++] = tie;
    tiesOf[next[tieB[tie]!]!++] = tie;
  }
  return { tieStart, tiesOf };
}

const networks = new Beside<Circuit, { readonly plain: Network; readonly changed: WeakMap<Overrides, Network> }>();

/** The network of a circuit and overrides, kept as long as both objects live. Overrides must not be changed afterwards. */
export function networkOf(circuit: Circuit, overrides?: Overrides): Network {
  let kept = networks.get(circuit);
  if (!kept) networks.set(circuit, (kept = { plain: layOutNetwork(circuit, undefined), changed: new WeakMap() }));
  if (!overrides) return kept.plain;
  let network = kept.changed.get(overrides);
  if (!network) kept.changed.set(overrides, (network = changedNetwork(kept.plain, overrides)));
  return network;
}

/** Opened or welded contacts, the commonest overrides by far, leave the layout as it is. */
function changedNetwork(plain: Network, overrides: Overrides): Network {
  const { contacts, loads, wires, added, lostLegs, supplyScale, swapped } = overrides;
  const more = loads?.size || wires?.size || added?.length || lostLegs?.length || supplyScale !== undefined || swapped;
  const cases = contacts && [...contacts.values()].some(({ as }) => as === "to-case");
  if (more || cases) return layOutNetwork(plain.circuit, overrides);
  const part = layOutContacts(plain.circuit.machine, overrides);
  return { ...plain, overrides, ...part, hasLowOhms: lowOhms(part.contactOhms) };
}

function lowOhms(contactOhms: Float64Array): boolean {
  return contactOhms.some((ohms) => ohms > 0 && ohms <= shortOhms);
}
