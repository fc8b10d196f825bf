/** A reading that was or could be taken, and what a machine with some trouble in it would show. */

import { buildCircuit } from "../circuit/build.ts";
import type { Circuit, Override, Overrides } from "../circuit/circuit.ts";
import { meterMachine, meterOhms } from "../circuit/measure.ts";
import { solveState } from "../circuit/solve.ts";
import type { ContactId, Literal, LoadId, Machine, MachineState, TerminalId, WireId } from "../machine/machine.ts";
import { leadsAt } from "./expected.ts";
import { machineWithOhms } from "./part-ohms.ts";
import { type Settled, type Trouble, unplugged } from "./settle.ts";
import { claimHolds, come, type Situation } from "./situation.ts";
import { type Activity, activityOf, type SymptomOdds, type SymptomSubject } from "./symptoms.ts";
import { SoundReading } from "./untouched.ts";

export type Reading =
  | { readonly of: "volts"; readonly a: TerminalId; readonly b: TerminalId; readonly situation: number }
  | {
      readonly of: "ohms";
      readonly a: TerminalId;
      readonly b: TerminalId;
      readonly lifted: readonly TerminalId[];
      readonly situation: number;
      /** Controls set otherwise than in the situation, for a contact that is to be read closed. */
      readonly standing?: MachineState;
    }
  | {
      readonly of: "amps" | "watts";
      readonly terminal?: TerminalId;
      readonly loads?: readonly LoadId[];
      readonly contacts?: readonly ContactId[];
      readonly situation: number;
    }
  | {
      readonly of: "symptom";
      readonly subject: SymptomSubject;
      readonly odds?: SymptomOdds;
      readonly situation: number;
      /** While the buttons that were pressed on the way are still held. */
      readonly pressed?: boolean;
    }
  | { readonly of: "stands"; readonly claim: Literal; readonly situation: number };

export interface Prediction {
  /** V, A, W, ohm (Infinity: open). Undefined: the model cannot tell. */
  readonly value?: number;
  /** Ohms lie between these when parts of unknown resistance share in them. */
  readonly low?: number;
  readonly high?: number;
  /** A point that nothing ties to the supply: stray volts. */
  readonly floating?: boolean;
  readonly activity?: Activity;
  readonly holds?: boolean;
}

/** One machine in its situations; remembers what it has worked out for each trouble. */
export class Predictor {
  private readonly settled = new Map<Trouble, (Settled | undefined)[]>();
  private readonly ohms = new Map<string, { readonly open: Circuit; readonly shut?: Circuit }>();
  private readonly known = new Map<string, Map<Trouble, Prediction>>();

  private readonly sound = new Map<Circuit, Map<string, SoundReading>>();
  private readonly legs: ReadonlySet<TerminalId>;

  constructor(
    readonly circuit: Circuit,
    readonly situations: readonly Situation[],
  ) {
    this.legs = new Set(circuit.machine.supply.legs.map(({ terminal }) => terminal));
  }

  at(trouble: Trouble, situation: number, pressed = false): Settled {
    let all = this.settled.get(trouble);
    if (!all) this.settled.set(trouble, (all = []));
    const { inputs } = this.situations[situation]!;
    const way = pressed ? inputs.slice(0, -1) : inputs;
    return (all[2 * situation + (pressed ? 1 : 0)] ??= come(this.circuit, way, trouble));
  }

  predict(trouble: Trouble, standsStill: boolean, reading: Reading): Prediction {
    switch (reading.of) {
      case "volts":
        return this.volts(this.at(trouble, reading.situation), reading.a, reading.b);
      case "amps":
      case "watts":
        return this.taken(this.at(trouble, reading.situation), reading);
      case "symptom":
        return {
          activity: activityOf(
            this.circuit,
            this.at(trouble, reading.situation, reading.pressed),
            trouble,
            reading.subject,
            standsStill,
          ),
        };
      case "stands":
        return { holds: claimHolds(reading.claim, this.at(trouble, reading.situation).state) };
      case "ohms": {
        const key = `${reading.a} ${reading.b} ${reading.lifted.join()} ${reading.situation} ${reading.standing?.join() ?? ""}`;
        let by = this.known.get(key);
        if (!by) this.known.set(key, (by = new Map()));
        let found = by.get(trouble);
        if (!found) by.set(trouble, (found = this.ohmsRead(trouble, reading)));
        return found;
      }
    }
  }

  private volts({ solution, tripped }: Settled, a: TerminalId, b: TerminalId): Prediction {
    // Between legs one measures at the outlet, breaker set again.
    const atOutlet = this.legs.has(a) && this.legs.has(b);
    if (tripped && !atOutlet) return { value: 0 };
    if (tripped) return outletVolts(this.circuit.machine, a, b);
    const { jointOf } = solution.circuit;
    const [from, to] = [jointOf[a]!, jointOf[b]!];
    if (from === to) return { value: 0 };
    if (solution.fed[from] !== 1 || solution.fed[to] !== 1) return { value: 0, floating: true };
    const { re, im } = solution.joints;
    const value = Math.hypot(re[from]! - re[to]!, im[from]! - im[to]!);
    return Number.isNaN(value) ? {} : { value };
  }

  private taken({ solution, tripped }: Settled, reading: Reading & { of: "amps" | "watts" }): Prediction {
    if (tripped) return { value: 0 };
    const { machine } = this.circuit;
    const { loadAmps, contactAmps, loadWatts, legAmps, caseAmps } = solution;
    let value: number;
    if (reading.of === "watts") {
      const loads = reading.loads ?? machine.loads.map(({ id }) => id);
      value = loads.reduce((sum, load) => sum + loadWatts[load]!, 0);
    } else if (reading.terminal !== undefined) {
      const leg = machine.supply.legs.findIndex(({ terminal }) => terminal === reading.terminal);
      if (leg >= 0) value = Math.hypot(legAmps.re[leg]!, legAmps.im[leg]!);
      else {
        let re = 0;
        let im = 0;
        for (const { id, a, b } of machine.contacts) {
          const sign = a === reading.terminal ? 1 : b === reading.terminal ? -1 : 0;
          re += sign * contactAmps.re[id]! || 0;
          im += sign * contactAmps.im[id]! || 0;
        }
        for (const { id, a, b } of machine.loads) {
          const touch = b === reading.terminal ? caseAmps.get(id) : undefined;
          const sign = a === reading.terminal ? 1 : b === reading.terminal ? -1 : 0;
          re += sign * (loadAmps.re[id]! - (touch?.re ?? 0)) || 0;
          im += sign * (loadAmps.im[id]! - (touch?.im ?? 0)) || 0;
        }
        value = Math.hypot(re, im);
      }
    } else {
      value = 0;
      for (const load of reading.loads ?? [])
        value = Math.max(value, Math.hypot(loadAmps.re[load]!, loadAmps.im[load]!));
      for (const contact of reading.contacts ?? [])
        value = Math.max(value, Math.hypot(contactAmps.re[contact]!, contactAmps.im[contact]!));
      if (reading.loads?.some((load) => !machine.loads[load]!.known)) return {};
    }
    return Number.isNaN(value) ? {} : { value };
  }

  private ohmsRead(trouble: Trouble, reading: Reading & { of: "ohms" }): Prediction {
    const { a, b, lifted } = reading;
    const { machine } = this.circuit;
    const base = reading.standing ?? this.situations[reading.situation]?.healthy;
    if (!base) return {};
    const state = Uint8Array.from([...unplugged(this.circuit, base, { held: trouble.held }), 0]);
    const key = `${a} ${b} ${lifted.join()}`;
    let circuits = this.ohms.get(key);
    if (!circuits) this.ohms.set(key, (circuits = ohmsCircuits(machine, a, b, lifted)));
    const overrides = onMeter(machine, trouble.overrides, lifted);
    const read = (circuit: Circuit): number => {
      const sound = this.soundReading(circuit, state);
      return sound.leaves(trouble) ? sound.ohms : meterReads(circuit, state, overrides);
    };
    const open = read(circuits.open);
    if (!circuits.shut) return { value: open };
    const shut = read(circuits.shut);
    if (open === shut || (Number.isFinite(open) && Math.abs(open - shut) <= 1e-6 * Math.max(open, shut)))
      return { value: open };
    return { low: shut, high: open };
  }

  private soundReading(circuit: Circuit, state: MachineState): SoundReading {
    let known = this.sound.get(circuit);
    if (!known) this.sound.set(circuit, (known = new Map()));
    const key = state.join();
    let reading = known.get(key);
    if (!reading) known.set(key, (reading = new SoundReading(solveState(circuit, state))));
    return reading;
  }
}

function outletVolts({ supply }: Machine, a: TerminalId, b: TerminalId): Prediction {
  const volts = (at: TerminalId) => supply.legs.find(({ terminal }) => terminal === at)!.volts;
  return { value: Math.hypot(volts(a).re - volts(b).re, volts(a).im - volts(b).im) };
}

/** The machine on the meter, with parts of unknown resistance open, and shorted where there are any. */
function ohmsCircuits(machine: Machine, a: TerminalId, b: TerminalId, lifted: readonly TerminalId[]) {
  const cold = machineWithOhms(machine, "expected");
  const parted = new Set(lifted.flatMap((terminal) => leadsAt(machine, terminal)));
  const unknown = cold.loads.some(({ id }) => meterOhms(cold, id) === undefined);
  const make = (instead: number): Circuit =>
    buildCircuit(
      meterMachine(cold, a, b, (load) => meterOhms(cold, load) ?? instead),
      parted,
    );
  return { open: make(Number.POSITIVE_INFINITY), ...(unknown ? { shut: make(0.01) } : {}) };
}

/** What of the trouble an unplugged meter sees. Wires lifted before stay off where the circuit is laid out anew. */
function onMeter(
  machine: Machine,
  trouble: Overrides | undefined,
  lifted: readonly TerminalId[],
): Overrides | undefined {
  if (!trouble || !(trouble.contacts || trouble.loads || trouble.wires || trouble.added)) return undefined;
  const rebuilt = trouble.wires || [...(trouble.loads?.values() ?? [])].some(({ as }) => as === "to-case");
  const open: Override = { as: "open" };
  const wires: ReadonlyMap<WireId, Override> | undefined =
    rebuilt && lifted.length > 0
      ? new Map([
          ...(trouble.wires ?? []),
          ...lifted.flatMap((each) => leadsAt(machine, each)).map((wire) => [wire, open] as const),
        ])
      : trouble.wires;
  return { contacts: trouble.contacts, loads: trouble.loads, wires, added: trouble.added };
}

function meterReads(circuit: Circuit, state: MachineState, overrides: Overrides | undefined): number {
  const amps = solveState(circuit, state, { overrides }).legAmps.re[0]!;
  if (Number.isNaN(amps)) return 0;
  return Math.abs(amps) > 1e-9 ? Math.abs(1 / amps) : Number.POSITIVE_INFINITY;
}
