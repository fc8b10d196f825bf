/** What meters read: volts, amps, watts, power factor with power on; ohms unplugged. */
import type { Complex, LoadId, Machine, MachineState, TerminalId, WireId } from "../machine/machine.ts";
import { buildCircuit } from "./build.ts";
import type { Circuit, Overrides, Solution } from "./circuit.ts";
import { caseTerminal } from "./network.ts";
import { type OhmsNet, ohmsNet, readNet } from "./ohms-net.ts";
import { solveState } from "./solve.ts";

/** Readings of one load; all NaN when they cannot be told. */
export interface LoadReading {
  readonly volts: number;
  readonly amps: number;
  readonly watts: number;
  readonly voltAmps: number;
  /** Watts / volt-amperes; undefined when no current flows. */
  readonly powerFactor?: number;
  /** Whether the current leads (capacitors) or lags (coils) the volts; left out when they are in phase. */
  readonly current?: "leads" | "lags";
  /** On half-wave current: volts and amps are true rms. */
  readonly halfWave: boolean;
}

export function loadReading(solution: Solution, load: LoadId): LoadReading {
  const { loadVolts, loadAmps, loadWatts } = solution;
  const v: Complex = { re: loadVolts.re[load]!, im: loadVolts.im[load]! };
  const i: Complex = { re: loadAmps.re[load]!, im: loadAmps.im[load]! };
  const volts = magnitude(v);
  const amps = magnitude(i);
  const watts = loadWatts[load]!;
  const voltAmps = volts * amps;
  const reactive = v.im * i.re - v.re * i.im;
  const inPhase = Math.abs(reactive) <= 1e-9 * voltAmps;
  return {
    volts,
    amps,
    watts,
    voltAmps,
    ...(voltAmps > 0 ? { powerFactor: Math.min(1, watts / voltAmps) } : {}),
    ...(voltAmps > 0 && !inPhase ? { current: reactive > 0 ? ("lags" as const) : ("leads" as const) } : {}),
    halfWave: solution.halfWave.includes(load),
  };
}

export function magnitude({ re, im }: Complex): number {
  return Math.hypot(re, im);
}

/** Amps through a contact; NaN on the way of a short or in a piece that is not solved. */
export function contactAmps({ contactAmps: { re, im } }: Solution, contact: number): number {
  return Math.hypot(re[contact]!, im[contact]!);
}

/** Amps that a leg delivers, by its index in `Supply.legs`. */
export function legAmps({ legAmps: { re, im } }: Solution, leg: number): number {
  return Math.hypot(re[leg]!, im[leg]!);
}

/**
 * Volts between two terminals, the phasor of `a` over `b`. Between floating parts a real meter shows stray volts of no
 * meaning; here they are 0 V, and `fed` of the solution tells which they are.
 */
export function voltsBetween(solution: Solution, a: TerminalId, b: TerminalId): Complex {
  const { joints, circuit } = solution;
  const [from, to] = [circuit.jointOf[a]!, circuit.jointOf[b]!];
  return { re: joints.re[from]! - joints.re[to]!, im: joints.im[from]! - joints.im[to]! };
}

/**
 * What meters show across a load on half-wave current, from its true rms volts: an AC-coupled true-rms meter leaves out the
 * DC part, a DC range shows nothing else. From the definition: peak = 2 x rms, mean = peak / pi. (Half-wave of 240 V:
 * 169.7 V true rms, 130.9 V AC-coupled, 108.0 V DC.)
 */
export function halfWaveReadings(trueRms: number): { readonly acCoupled: number; readonly dc: number } {
  const dc = (2 * trueRms) / Math.PI;
  return { acCoupled: Math.sqrt(trueRms * trueRms - dc * dc), dc };
}

export interface OhmsReading {
  /** False when parts whose meter resistance was not stated share in the reading. */
  readonly known: boolean;
  /** Infinity: open. When not known NaN. */
  readonly ohms: number;
  /** The reading lies between these whatever the unknown parts are. */
  readonly atLeast: number;
  readonly atMost: number;
  /** Parts of unknown resistance that matter. */
  readonly unknown: readonly LoadId[];
  /** Loads that carry a part of the meter's current: every path counts, so the reading is not of one part alone. */
  readonly through: readonly LoadId[];
}

/**
 * Ohms that a meter reads between two terminals, unplugged, in a state: every parallel path through closed contacts and the
 * meter resistances of loads. Capacitors read open once charged, neon lamps always. A diode, and a load whose meter resistance
 * was not stated, is unknown: between short and open, which bounds the reading (it can only rise with each resistance).
 *
 * @param overrides contacts, loads, wires and added connections count; what concerns the supply does not
 */
export function ohmsBetween(
  circuit: Circuit,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  overrides?: Overrides,
): OhmsReading {
  return meterBetween(circuit, state, a, b, overrides)((load) => meterOhms(circuit.machine, load));
}

/** What a meter reads at each load alone: Infinity for open, undefined when not known. */
export type OhmsOf = (load: LoadId) => number | undefined;

/** The same for several sets of resistances: what hangs together is looked for once. */
export function meterBetween(
  circuit: Circuit,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  overrides: Overrides | undefined,
): (ohmsOf: OhmsOf) => OhmsReading {
  const net = netOf(circuit, state, a, b, overrides);
  return (ohmsOf) => ohmsReading(meterOn(circuit.machine, state, a, b, overrides, net, ohmsOf), ohmsOf);
}

function ohmsReading(read: MeterOn, ohmsOf: OhmsOf): OhmsReading {
  const unknown = read.loads.filter((load) => ohmsOf(load) === undefined);
  const open = read(new Set(), false);
  if (unknown.length === 0 && !read.windings) return told(open.ohms, open.through);
  const shut = read(new Set(unknown), true);
  if (same(open.ohms, shut.ohms)) return told(open.ohms, open.through);
  // Which of them matter: each by itself against the rest open, and against the rest shorted.
  const matters = unknown.filter((load) => {
    if (!same(read(new Set([load]), false).ohms, open.ohms)) return true;
    return !same(read(new Set(unknown.filter((other) => other !== load)), true).ohms, shut.ohms);
  });
  return {
    known: false,
    ohms: Number.NaN,
    atLeast: shut.ohms,
    atMost: open.ohms,
    unknown: matters,
    through: open.through,
  };
}

/** What a meter shows with some loads, and perhaps all windings of transformers, shorted. */
interface MeterOn {
  (shorted: ReadonlySet<LoadId>, windingsShorted: boolean): { ohms: number; through: LoadId[] };
  /** Loads that can take part. */
  readonly loads: readonly LoadId[];
  /** Whether windings can. */
  readonly windings: boolean;
}

/** Least ohms, of a load, that the net of resistances is exact enough for. */
const leastOhms = 1e-3;

function meterOn(
  machine: Machine,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  overrides: Overrides | undefined,
  net: OhmsNet | undefined,
  ohmsOf: OhmsOf,
): MeterOn {
  const loads = net?.between.flatMap(({ load }) => (load === undefined ? [] : [load]));
  if (!net || loads!.some((load) => ohmsOf(load)! < leastOhms)) {
    const whole = (shorted: ReadonlySet<LoadId>, windingsShorted: boolean) =>
      probe(machine, state, a, b, shorted, windingsShorted, overrides, ohmsOf);
    return Object.assign(whole, {
      loads: machine.loads.map(({ id }) => id),
      windings: machine.transformers.length > 0,
    });
  }
  const read = (shorted: ReadonlySet<LoadId>, windingsShorted: boolean) =>
    readNet(net, ({ load }) =>
      load === undefined
        ? windingsShorted
          ? 0
          : Number.POSITIVE_INFINITY
        : shorted.has(load)
          ? 0
          : (ohmsOf(load) ?? Number.POSITIVE_INFINITY),
    );
  return Object.assign(read, { loads: loads!, windings: net.between.some(({ load }) => load === undefined) });
}

/** Undefined where overrides do more than take leads off. */
function netOf(
  circuit: Circuit,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  overrides: Overrides | undefined,
): OhmsNet | undefined {
  if (overrides?.contacts || overrides?.loads || overrides?.added) return undefined;
  const parted = new Set<WireId>();
  for (const [wire, { as }] of overrides?.wires ?? []) {
    if (as !== "open") return undefined;
    parted.add(wire);
  }
  return ohmsNet(circuit, state, a, b, parted);
}

function told(ohms: number, through: readonly LoadId[]): OhmsReading {
  return { known: true, ohms, atLeast: ohms, atMost: ohms, unknown: [], through };
}

function same(one: number, other: number): boolean {
  if (one === other) return true;
  // Open is not nearly anything: infinity times any tolerance would be.
  return Number.isFinite(one) && Number.isFinite(other) && Math.abs(one - other) <= 1e-9 * Math.max(one, other);
}

/** What a meter reads at the load alone: Infinity for open, undefined when not known. */
export function meterOhms(machine: Machine, id: LoadId): number | undefined {
  const { meterOhms: stated, kind } = machine.loads[id]!;
  if (stated) return stated.ohms;
  return kind === "capacitor" || kind === "neon" ? Number.POSITIVE_INFINITY : undefined;
}

/**
 * The machine unplugged, with a meter of 1 V from `a` to `b` in place of its supply and the ohms a meter sees in place of each
 * load's impedance (Infinity: open). Its states have one position more than the machine's own, 0, at the end.
 */
export function meterMachine(
  machine: Machine,
  a: TerminalId,
  b: TerminalId,
  ohmsOf: (load: LoadId) => number,
): Machine {
  const leg = (terminal: TerminalId, volts: number) => {
    const name = machine.terminals[terminal]!.fullName;
    return { name, terminal, volts: { re: volts, im: 0 }, role: volts ? ("live" as const) : ("neutral" as const) };
  };
  return {
    ...machine,
    // The meter is on whatever the supply does: a control of its own, behind all others.
    supply: { ...machine.supply, legs: [leg(a, 1), leg(b, 0)], control: machine.controls.length },
    parts: machine.parts.map((part) => {
      const frame = caseTerminal(machine, part.id);
      return frame === undefined ? part : { ...part, frame };
    }),
    contacts: machine.contacts.map((contact) => ({ ...contact, leaks: 0 })),
    loads: machine.loads.map(({ control: _, inrush: __, ...load }) => {
      const ohms = ohmsOf(load.id);
      const impedance = ohms === Number.POSITIVE_INFINITY ? undefined : { re: ohms, im: 0 };
      return { ...load, kind: load.kind === "diode" ? "load" : load.kind, impedance: [impedance] };
    }),
    transformers: [],
  };
}

/** The machine unplugged with a meter of 1 V in place of its supply, solved. */
function probe(
  machine: Machine,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  shorted: ReadonlySet<LoadId>,
  windingsShorted: boolean,
  overrides: Overrides | undefined,
  ohmsOf: OhmsOf,
): { ohms: number; through: LoadId[] } {
  const onMeter = meterMachine(machine, a, b, (load) =>
    shorted.has(load) ? 0 : (ohmsOf(load) ?? Number.POSITIVE_INFINITY),
  );
  const windings = machine.transformers.flatMap(({ primary, secondary }) => [primary, secondary]);
  const metered = Uint8Array.from([...state, 0]);
  const solution = solveState(buildCircuit(onMeter), metered, {
    overrides: {
      contacts: overrides?.contacts,
      loads: overrides?.loads,
      wires: overrides?.wires,
      added: [
        ...(overrides?.added ?? []),
        ...(windingsShorted ? windings.map(([from, to]) => ({ a: from, b: to, ohms: 0 })) : []),
      ],
    },
  });
  const amps = solution.legAmps.re[0]!;
  const through = machine.loads.flatMap(({ id }) =>
    Math.abs(solution.loadAmps.re[id]!) > 1e-12 * Math.abs(amps) ? [id] : [],
  );
  // Volts across nothing but closed contacts: the meter shows 0 ohm.
  if (Number.isNaN(amps)) return { ohms: 0, through: [] };
  // Less than a picoampere at 1 V is rounding: no path at all.
  return Math.abs(amps) > 1e-12 ? { ohms: 1 / amps, through } : { ohms: Number.POSITIVE_INFINITY, through: [] };
}
