/**
 * A machine on the bench, done the plain way: every wire and closed contact a small resistance, every node a row of one dense
 * system, the meter a resistor like any other. It shares no code with the solver or the settling of the server; it is slow
 * and it answers as a real machine would, with meter noise.
 */
import type { Complex, Condition, Machine, MachineState, SettledRule } from "../../server/machine/machine.ts";
import type { Fault } from "../../server/meter/faults.ts";
import type { Reading } from "../../server/meter/reading.ts";

const wireOhms = 1e-3;
const contactOhms = 2e-3;
const leakOhms = 1e10;

export type Random = () => number;

/** A fault with its size drawn. */
export interface Broken {
  readonly fault?: Fault;
  readonly share: number;
  readonly ohms: number;
}

export function drawn(fault: Fault, random: Random): Broken {
  const ohms = fault.kind === "contact-bad" ? 3 * 25 ** random() : 0;
  return { fault, share: 0.2 + 0.6 * random(), ohms };
}

interface Edge {
  readonly a: number;
  readonly b: number;
  readonly z: Complex;
}

const holds = (condition: Condition, state: MachineState): boolean =>
  condition.some((clause) => clause.every(({ control, positions }) => positions[state[control]!] === 1));
const size = ({ re, im }: Complex): number => Math.hypot(re, im);

export class PlainBench {
  private readonly partOhms: readonly (number | undefined)[];

  constructor(
    readonly machine: Machine,
    readonly broken: Broken,
    private readonly random: Random,
  ) {
    // Real parts lie off their plate, and lamps and the like have some resistance that nobody wrote down.
    this.partOhms = machine.loads.map((load) => {
      const off = 1 + 0.06 * (random() - 0.5);
      if (load.kind === "neon" || (load.kind === "capacitor" && !load.meterOhms)) return undefined;
      const z = load.impedance.find((each) => each);
      return (load.meterOhms?.ohms ?? (z ? size(z) / 12 : undefined)) !== undefined
        ? (load.meterOhms?.ohms ?? size(z!) / 12) * off
        : undefined;
    });
  }

  /** The state the machine comes to when a person sets the inputs in order. */
  come(inputs: readonly MachineState[]): MachineState {
    let state: MachineState | undefined;
    for (const next of inputs) {
      const start = Uint8Array.from(next, (position, id) =>
        state && this.machine.controls[id]!.settled ? state[id]! : position,
      );
      state = this.settle(start);
    }
    return state!;
  }

  answer(
    reading: Reading,
    inputs: readonly MachineState[],
    healthy: MachineState,
  ): number | "off" | "hums" | "weak" | "works" {
    if (reading.of === "ohms") return this.ohms(reading, reading.standing ?? healthy);
    const state = this.come(reading.of === "symptom" && reading.pressed ? inputs.slice(0, -1) : inputs);
    const live = this.solve(state, []);
    if (reading.of === "symptom") {
      const { subject } = reading;
      if (subject.breaker) return live.tripped || state[this.machine.supply.control] !== 0 ? "off" : "works";
      if (live.tripped) return "off";
      if (subject.motor !== undefined)
        return state[subject.motor]! >= 2 ? "works" : state[subject.motor] === 1 ? "hums" : "off";
      const each = subject.loads.map((load) => this.work(load, live, state));
      const best = each.includes("works") ? "works" : each.includes("weak") ? "weak" : "off";
      return subject.dial && this.broken.fault?.standsStill ? "off" : best;
    }
    const { legs } = this.machine.supply;
    const leg = (terminal: number) => legs.find((one) => one.terminal === terminal);
    if (reading.of === "volts" && leg(reading.a) && leg(reading.b)) {
      const lost = this.broken.fault?.kind === "leg-lost" ? this.broken.fault.name : undefined;
      const [p, q] = [leg(reading.a)!, leg(reading.b)!];
      // At the outlet, breaker set again: what is lost is not there.
      if (p.name !== lost && q.name !== lost)
        return Math.hypot(p.volts.re - q.volts.re, p.volts.im - q.volts.im) * (1 + 0.02 * (this.random() - 0.5));
    }
    if (live.tripped) return 0;
    if (reading.of === "volts") {
      const meter = this.solve(state, [{ a: reading.a, b: reading.b, z: { re: 10e6, im: 0 } }]);
      const volts = size(meter.between(reading.a, reading.b));
      return Math.max(0, volts * (1 + 0.02 * (this.random() - 0.5)) + 0.6 * (this.random() - 0.5));
    }
    if (reading.of === "amps") {
      const amps = Math.max(...(reading.loads ?? []).map((load) => size(live.loadAmps(load))));
      return amps * (1 + 0.04 * (this.random() - 0.5)) + 0.02 * this.random();
    }
    throw new Error("not a reading that is suggested");
  }

  // ---------------------------------------------------------------- the circuit

  private edges(
    state: MachineState,
    ohmsOnly: boolean,
    lifted: ReadonlySet<number>,
  ): { list: Edge[]; nodes: number; loadEdge: number[] } {
    const { machine, broken } = this;
    const { fault } = broken;
    const list: Edge[] = [];
    let nodes = machine.terminals.length;
    const add = (a: number, b: number, z: Complex): number => list.push({ a, b, z }) - 1;
    const ohms = (re: number): Complex => ({ re, im: 0 });
    for (const { id, a, b, kind } of machine.wires) {
      if (fault?.kind === "wire-open" && fault.wire === id) continue;
      if (kind !== "internal" && (lifted.has(a) || lifted.has(b))) continue;
      add(a, b, ohms(wireOhms));
    }
    for (const contact of machine.contacts) {
      const mine = fault?.contact === contact.id ? fault.kind : undefined;
      const closed = mine === "contact-welded" || (mine !== "contact-open" && holds(contact.closed, state));
      if (closed)
        add(contact.a, contact.b, ohms(Math.max(contactOhms, contact.ohms, mine === "contact-bad" ? broken.ohms : 0)));
    }
    const loadEdge: number[] = [];
    for (const load of machine.loads) {
      loadEdge[load.id] = -1;
      const own = this.partOhms[load.id];
      const impedance =
        load.impedance[load.control === undefined || load.impedance.length === 1 ? 0 : state[load.control]!];
      const z = ohmsOnly ? (own === undefined ? undefined : ohms(own)) : impedance;
      const mine = fault?.load === load.id ? fault.kind : undefined;
      if (mine === "load-open") continue;
      if (mine === "load-shorted") {
        const some =
          broken.share > 0.5 && own !== undefined && load.kind !== "capacitor" && load.kind !== "lamp"
            ? 0.3 * own
            : 0.01;
        loadEdge[load.id] = add(load.a, load.b, ohms(some));
        continue;
      }
      if (mine === "load-to-case") {
        const metal =
          machine.parts[load.part]!.frame ?? machine.supply.legs.find(({ role }) => role === "protective")!.terminal;
        const middle = nodes++;
        const part = (share: number): Complex => (z ? { re: z.re * share, im: z.im * share } : ohms(leakOhms));
        loadEdge[load.id] = add(load.a, middle, part(broken.share));
        add(middle, load.b, part(1 - broken.share));
        add(middle, metal, ohms(0.1));
        continue;
      }
      if (z) loadEdge[load.id] = add(load.a, load.b, z);
    }
    return { list, nodes, loadEdge };
  }

  private solve(state: MachineState, extra: readonly Edge[]) {
    const { machine, broken } = this;
    const on = state[machine.supply.control] === 0;
    const { list, nodes, loadEdge } = this.edges(state, false, new Set());
    const all = [...list, ...extra];
    const lost = broken.fault?.kind === "leg-lost" ? broken.fault.name : undefined;
    const sources = machine.supply.legs
      .filter(({ name }) => name !== lost)
      .map(({ terminal, volts }) => ({ at: terminal, volts: on ? volts : { re: 0, im: 0 } }));
    const v = nodal(nodes, all, sources);
    const between = (a: number, b: number): Complex => ({
      re: v[2 * a]! - v[2 * b]!,
      im: v[2 * a + 1]! - v[2 * b + 1]!,
    });
    const amps = ({ a, b, z }: Edge): Complex => divide(between(a, b), z);
    const legAmps = sources.map(({ at, volts }) =>
      size({ re: (volts.re - v[2 * at]!) / sourceOhms, im: (volts.im - v[2 * at + 1]!) / sourceOhms }),
    );
    const limit = machine.supply.breakerAmps === undefined ? 400 : 5 * machine.supply.breakerAmps;
    return {
      between,
      tripped: on && legAmps.some((each) => each > limit),
      loadAmps: (load: number): Complex => (loadEdge[load]! < 0 ? { re: 0, im: 0 } : amps(list[loadEdge[load]!]!)),
      loadVolts: (load: number): Complex => between(machine.loads[load]!.a, machine.loads[load]!.b),
      watts: (load: number): number => {
        const { part, id } = machine.loads[load]!;
        void part;
        const edge = loadEdge[id]!;
        if (edge < 0) return 0;
        const split = broken.fault?.kind === "load-to-case" && broken.fault.load === id ? [edge, edge + 1] : [edge];
        return split.reduce((sum, each) => sum + size(amps(all[each]!)) ** 2 * all[each]!.z.re, 0);
      },
    };
  }

  private ohms(reading: Reading & { of: "ohms" }, base: MachineState): number {
    const state = Uint8Array.from(base);
    state[this.machine.supply.control] = 1;
    const dead = this.settleDead(state);
    const { list, nodes } = this.edges(dead, true, new Set(reading.lifted));
    const source = 10;
    const meter = nodes;
    const v = nodal(
      nodes + 1,
      [...list, { a: meter, b: reading.a, z: { re: source, im: 0 } }],
      [
        { at: meter, volts: { re: 1, im: 0 } },
        { at: reading.b, volts: { re: 0, im: 0 } },
      ],
    );
    const amps = (v[2 * meter]! - v[2 * reading.a]!) / source;
    const ohms = amps < 4e-8 ? Number.POSITIVE_INFINITY : 1 / amps - source;
    return ohms > 2e7
      ? Number.POSITIVE_INFINITY
      : Math.max(0, ohms * (1 + 0.02 * (this.random() - 0.5)) + 0.15 * this.random());
  }

  private work(id: number, live: ReturnType<PlainBench["solve"]>, _state: MachineState): "off" | "weak" | "works" {
    const load = this.machine.loads[id]!;
    const { fault } = this.broken;
    if (fault?.load === id && (fault.kind === "load-open" || fault.kind === "load-shorted")) return "off";
    if (load.kind === "heater" && load.ratedWatts) {
      const share = live.watts(id) / load.ratedWatts;
      return share >= 0.3 ? "works" : share >= 0.05 ? "weak" : "off";
    }
    const level = this.level(id, live);
    return level >= 2 ? "works" : level === 1 ? "weak" : "off";
  }

  // ---------------------------------------------------------------- settling, plainly

  /** 0 off, 1 weak, 2 works. */
  private level(id: number, live: ReturnType<PlainBench["solve"]>): number {
    const load = this.machine.loads[id]!;
    const { fault } = this.broken;
    if (fault?.load === id && (fault.kind === "load-open" || fault.kind === "load-shorted")) return 0;
    if (live.tripped || size(live.loadAmps(id)) < 1e-6) return 0;
    const volts = size(live.loadVolts(id));
    if (load.ratedVolts === undefined) return volts > 2 ? 2 : 0;
    const share = volts / load.ratedVolts;
    return share < load.scale.weak ? 0 : share < load.scale.works ? 1 : 2;
  }

  private settle(start: MachineState): MachineState {
    const state = this.held(start);
    for (let move = 0; move < 40; move++) {
      const live = this.solve(state, []);
      if (live.tripped) {
        state[this.machine.supply.control] = 1;
        return this.settleDead(state);
      }
      if (
        !this.move(
          state,
          (id) => this.level(id, live),
          (id) => live.loadAmps(id),
        )
      )
        break;
    }
    return state;
  }

  private settleDead(start: MachineState): MachineState {
    const state = this.held(start);
    for (let move = 0; move < 40; move++)
      if (
        !this.move(
          state,
          () => 0,
          () => ({ re: 0, im: 0 }),
        )
      )
        break;
    return state;
  }

  private held(state: MachineState): Uint8Array {
    const copy = Uint8Array.from(state);
    const { fault } = this.broken;
    if (fault?.kind === "stuck") for (const [control, position] of fault.looks[0]!.held!) copy[control] = position;
    return copy;
  }

  /** One thing moves; false when all stand. Relays before motors. */
  private move(state: Uint8Array, level: (load: number) => number, amps: (load: number) => Complex): boolean {
    const { fault } = this.broken;
    const order = [...this.machine.controls].sort((a, b) => Number(a.role === "motor") - Number(b.role === "motor"));
    for (const { id, rule } of order) {
      if (!rule || (fault?.kind === "stuck" && fault.control === id)) continue;
      let target = aim(rule, state[id]!, state, level, amps);
      if (rule.rule === "motor" && target >= 2 && fault?.kind === "seized" && fault.control === id) target = 1;
      if (target !== state[id]) {
        state[id] = target;
        return true;
      }
    }
    return false;
  }
}

function aim(
  rule: SettledRule,
  now: number,
  state: MachineState,
  level: (load: number) => number,
  amps: (load: number) => Complex,
): number {
  switch (rule.rule) {
    case "coil":
      return level(rule.load) >= 2 ? 1 : level(rule.load) === 1 ? now : 0;
    case "current":
      return size(amps(rule.load)) >= rule.pullsIn ? 1 : size(amps(rule.load)) < rule.dropsOut ? 0 : now;
    case "seat": {
      const all = (tests: typeof rule.opens) =>
        tests.every(({ load, atLeast }) => level(load) >= (atLeast === "works" ? 2 : 1));
      return all(rule.opens) || (now === 1 && all(rule.stays)) ? 1 : 0;
    }
    case "latch":
      return holds(rule.sets, state) ? 1 : holds(rule.clears, state) ? 0 : now;
    case "motor": {
      const alike = rule.either ? rule.starts : [];
      const fed = rule.mains.filter((main) => [main, ...alike].some((load) => level(load) >= 2));
      if (now >= 2) return fed.length > 0 ? now : 0;
      for (const main of fed) {
        if (rule.starts.length === 0) return 2;
        for (const start of rule.starts) {
          if (level(start) < 1 || level(main) < 1) continue;
          const [i, m] = [amps(start), amps(main)];
          const cross = i.im * m.re - i.re * m.im;
          if (Math.abs(cross) < rule.leastTorque * size(i) * size(m)) continue;
          return rule.leftSign === undefined || Math.sign(cross) === rule.leftSign ? 2 : 3;
        }
      }
      return [...rule.mains, ...alike].some((load) => level(load) >= 1) ? 1 : 0;
    }
  }
}

// ---------------------------------------------------------------- one dense system

const sourceOhms = 1e-3;

function divide(a: Complex, b: Complex): Complex {
  const square = b.re * b.re + b.im * b.im;
  return { re: (a.re * b.re + a.im * b.im) / square, im: (a.im * b.re - a.re * b.im) / square };
}

/** Volts of every node, re and im in turn, by Gaussian elimination with pivoting over the reals (2 rows a node). */
function nodal(
  nodes: number,
  edges: readonly Edge[],
  sources: readonly { at: number; volts: Complex }[],
): Float64Array {
  const n = 2 * nodes;
  const m = Array.from({ length: n }, () => new Float64Array(n + 1));
  const stamp = (i: number, j: number, y: Complex): void => {
    m[2 * i]![2 * j]! += y.re;
    m[2 * i]![2 * j + 1]! -= y.im;
    m[2 * i + 1]![2 * j]! += y.im;
    m[2 * i + 1]![2 * j + 1]! += y.re;
  };
  for (const { a, b, z } of edges) {
    if (a === b) continue;
    const y = divide({ re: 1, im: 0 }, z);
    const minus = { re: -y.re, im: -y.im };
    stamp(a, a, y);
    stamp(b, b, y);
    stamp(a, b, minus);
    stamp(b, a, minus);
  }
  for (let node = 0; node < nodes; node++) stamp(node, node, { re: 1 / leakOhms, im: 0 });
  for (const { at, volts } of sources) {
    stamp(at, at, { re: 1 / sourceOhms, im: 0 });
    m[2 * at]![n]! += volts.re / sourceOhms;
    m[2 * at + 1]![n]! += volts.im / sourceOhms;
  }
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++)
      if (Math.abs(m[row]![column]!) > Math.abs(m[pivot]![column]!)) pivot = row;
    [m[column], m[pivot]] = [m[pivot]!, m[column]!];
    const top = m[column]!;
    for (let row = column + 1; row < n; row++) {
      const factor = m[row]![column]! / top[column]!;
      if (factor === 0) continue;
      const target = m[row]!;
      for (let k = column; k <= n; k++) target[k]! -= factor * top[k]!;
    }
  }
  const x = new Float64Array(n);
  for (let row = n - 1; row >= 0; row--) {
    let sum = m[row]![n]!;
    for (let k = row + 1; k < n; k++) sum -= m[row]![k]! * x[k]!;
    x[row] = sum / m[row]![row]!;
  }
  return x;
}
