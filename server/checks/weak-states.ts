/**
 * Loads that get some volts but not enough to work, told apart by cause: another load in series (series-feed), that and a
 * contact of its own open (back-feed), or neither (load-weak). What the writer meant (`also at`, `through`) is left out.
 */
import { Beside } from "../base/beside.ts";
import { magnitude } from "../circuit/measure.ts";
import { seriesLoads } from "../circuit/series-loads.ts";
import { solveState } from "../circuit/solve.ts";
import { type Surroundings, surroundings } from "../circuit/surroundings.ts";
import type { ContactId, Load, LoadId, Machine, MachineState } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";
import { anyOf, FULL, less } from "./ask.ts";

/** Kinds that are not fed for their own sake, or whose volts are judged elsewhere. */
export const NOT_JUDGED = new Set<Load["kind"]>([
  "resistor",
  "capacitor",
  "sensor",
  "diode",
  "ptc",
  "bias-heater",
  "start-winding",
]);

/** How near volts must be to a stated `also at`, as a share. Trade judgement, no published source. */
const ALSO_AT_TOLERANCE = 0.1;

/** The other winding of a motor with two equal ones, of which either may be fed through the capacitor. */
export function twinsOf(machine: Machine, load: Load): readonly LoadId[] {
  const rule = load.control === undefined ? undefined : machine.controls[load.control]!.rule;
  if (rule?.rule !== "motor" || !rule.either) return [];
  return [...rule.mains, ...rule.starts].filter((id) => id !== load.id);
}

/** States in which the load is weak without being meant so. */
export function weakUnmeant(engine: Engine, load: Load): Region {
  const { machine } = engine.circuit;
  if (NOT_JUDGED.has(load.kind) || load.ratedVolts === undefined || !load.known) return engine.none();
  const all = engine.when(load.id, ["weak"]);
  if (engine.isEmpty(all)) return all;
  const meant = load.through.map(({ when }) => (when.length === 0 ? engine.all() : engine.where(when)));
  // Of two equal windings one is fed through the capacitor by design; the other tells whether the motor has its volts.
  meant.push(...twinsOf(machine, load).map((twin) => engine.when(twin, FULL)));
  const weak = less(engine, all, anyOf(engine, meant));
  // A humming motor is motor-cannot-start's to tell once it is in class works; weak volts are told here.
  return machine.supply.stated || !engine.isEmpty(weak) ? weak : engine.none();
}

/** True when the volts are near one of the stated reduced volts. */
export function meantVolts(load: Load, volts: number): boolean {
  return load.alsoAt.some((at) => Math.abs(volts - at.volts) <= at.volts * ALSO_AT_TOLERANCE);
}

/** Loads that carry this load's current in this state: open one of them and the volts here fall by more than half. */
export function loadsInSeries({ circuit }: Engine, load: LoadId, state: MachineState): readonly LoadId[] {
  return seriesLoads(circuit, state, load, surroundings(circuit, state, load).loads).loads;
}

export function voltsOf(engine: Engine, load: LoadId, state: MachineState): number {
  const { loadVolts } = engine.solve(state);
  return Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!);
}

/**
 * Contacts that are open in this state though the load works through them in others: its own switches, past which it is fed
 * here. None when the load works nowhere.
 */
export function ownOpenContacts(engine: Engine, load: LoadId, state: MachineState): ContactId[] {
  return ownContacts(engine, load).contacts.filter((id) => !engine.has(engine.closed(id), state));
}

interface OwnContacts {
  readonly contacts: readonly ContactId[];
  /** False when the load works in more than `MOST_LOOKS` kinds of state. */
  readonly complete: boolean;
}

const owns = new Beside<Engine, Map<LoadId, OwnContacts>>();

/**
 * Contacts that are closed whenever the load works, and through which it does in some kind of state. Every kind is looked at until all are
 * decided, so that it does not matter which state of them comes first.
 */
function ownContacts(engine: Engine, load: LoadId): OwnContacts {
  const known = owns.get(engine) ?? new Map<LoadId, OwnContacts>();
  owns.set(engine, known);
  const before = known.get(load);
  if (before) return before;
  const works = engine.when(load, ["works", "over"]);
  let open = engine.isEmpty(works)
    ? []
    : engine.circuit.machine.contacts
        .map(({ id }) => id)
        .filter((id) => engine.isEmpty(less(engine, works, engine.closed(id))));
  const contacts: ContactId[] = [];
  let left = works;
  for (let look = 0; look < MOST_LOOKS && open.length > 0; look++) {
    const state = engine.witness(left);
    if (!state) break;
    const around = surroundings(engine.circuit, state, load);
    const met = new Set(around.contacts);
    const feeding = open.filter((id) => met.has(id) && feeds(engine, id, load, state));
    contacts.push(...feeding);
    open = open.filter((id) => !feeding.includes(id));
    left = less(engine, left, alikeAround(engine, state, around));
  }
  const found = { contacts: contacts.sort((a, b) => a - b), complete: open.length === 0 || engine.isEmpty(left) };
  known.set(load, found);
  return found;
}

/** Opening the contact alone takes at least a third of the load's volts: one that only happens to be closed does not. */
function feeds(engine: Engine, contact: ContactId, load: LoadId, state: MachineState): boolean {
  const opened = solveState(engine.circuit, state, { without: contact });
  const left = magnitude({ re: opened.loadVolts.re[load]!, im: opened.loadVolts.im[load]! });
  return left < (voltsOf(engine, load, state) * 2) / 3;
}

/** Below this share of its volts nothing stirs in a load, so the finding is information only. Trade judgement, no published source. */
export const TRICKLE = 0.25;

export type WeakCause = "series" | "back-feed" | "other";

export interface WeakState {
  readonly cause: WeakCause;
  readonly state: MachineState;
  readonly volts: number;
  readonly through: readonly LoadId[];
  readonly open: readonly ContactId[];
}

/** How many kinds of state (which contacts are closed) of one load are looked at before the search ends, which is then told. */
export const MOST_LOOKS = 400;

export interface WeakSearch {
  readonly found: readonly WeakState[];
  /** False when there were more than `MOST_LOOKS` kinds of state. */
  readonly complete: boolean;
}

const searches = new Beside<Engine, Map<LoadId, WeakSearch>>();

/** One weak state of each cause, if there is one. */
export function* weakStates(engine: Engine, load: Load): Generator<void, readonly WeakState[]> {
  return (yield* weakSearch(engine, load)).found;
}

/** The same, and whether every kind of state was looked at. Three checks ask: the answer is kept with the engine. */
export function* weakSearch(engine: Engine, load: Load): Generator<void, WeakSearch> {
  const known = searches.get(engine) ?? new Map<LoadId, WeakSearch>();
  searches.set(engine, known);
  const before = known.get(load.id);
  if (before) return before;
  // Most loads are weak nowhere, which is seen sooner than looked up.
  const weak = weakUnmeant(engine, load);
  if (engine.isEmpty(weak)) {
    const nothing = { found: [], complete: true };
    known.set(load.id, nothing);
    return nothing;
  }
  const { alsoAt, through, ratedVolts, kind } = load;
  const said = [kind, ratedVolts, load.known, alsoAt.map(({ volts }) => volts), through.map(({ when }) => when)];
  const note = engine.noteAbout?.(load.id, `weak ${engine.circuit.machine.supply.stated} ${JSON.stringify(said)}`);
  const noted = note?.read() as WeakSearch | undefined;
  if (noted) {
    known.set(load.id, noted);
    return noted;
  }
  const found = new Map<WeakCause, WeakState>();
  const left = yield* lookAtWeak(engine, load, weak, found);
  const sure = found.size === 0 || ownContacts(engine, load.id).complete;
  const search = { found: [...found.values()], complete: sure && (engine.isEmpty(left) || found.size === CAUSES) };
  known.set(load.id, search);
  note?.write(search);
  return search;
}

const CAUSES = 3;

function* lookAtWeak(
  engine: Engine,
  load: Load,
  weak: Region,
  found: Map<WeakCause, WeakState>,
): Generator<void, Region> {
  let left = weak;
  for (let look = 0; look < MOST_LOOKS && found.size < CAUSES; look++) {
    const state = engine.witness(left);
    if (!state) break;
    const around = surroundings(engine.circuit, state, load.id);
    const { volts, loads: through } = seriesLoads(engine.circuit, state, load.id, around.loads);
    if (!meantVolts(load, volts)) {
      const open = through.length > 0 ? ownOpenContacts(engine, load.id, state) : [];
      const cause: WeakCause = through.length === 0 ? "other" : open.length > 0 ? "back-feed" : "series";
      if (!found.has(cause)) found.set(cause, { cause, state, volts, through, open });
    }
    left = less(engine, left, alikeFor(engine, load.id, state, around));
    yield;
  }
  return left;
}

/**
 * States that are the same for this load: its volts, what is in series with it, and which of its own contacts are open. Given other
 * surroundings (of the same machine with other wires), those in which they are alike there.
 */
export function alikeFor(
  engine: Engine,
  load: LoadId,
  state: MachineState,
  around: Surroundings = surroundings(engine.circuit, state, load),
): Region {
  return alikeAround(engine, state, around, ownContacts(engine, load).contacts);
}

/** States in which the surroundings are alike, and these contacts besides. */
function alikeAround(
  engine: Engine,
  state: MachineState,
  { contacts, controls }: Surroundings,
  besides: readonly ContactId[] = [],
): Region {
  const same = controls.map((control) => {
    const positions = engine.circuit.machine.controls[control]!.positions.map((_, at) =>
      at === state[control] ? 1 : 0,
    );
    return { control, positions: Uint8Array.from(positions) };
  });
  const region = alike(engine, state, [...contacts, ...besides]);
  return same.length === 0 ? region : engine.and(region, engine.where([same]));
}

/** States with the same contacts closed as this one: all of them, or those named. */
export function alike(engine: Engine, state: MachineState, contacts?: readonly ContactId[]): Region {
  let region = engine.all();
  for (const id of contacts ?? engine.circuit.machine.contacts.keys()) {
    const closed = engine.closed(id);
    region = engine.and(region, engine.has(closed, state) ? closed : engine.not(closed));
  }
  return region;
}
