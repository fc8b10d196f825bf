/** What a meter reads between two points of the healthy machine: ohms unplugged, volts live, each with its band. */

import { limitsFor } from "../checks/tables/supply-limits.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { Circuit, Override, Overrides } from "../circuit/circuit.ts";
import { magnitude, meterBetween, type OhmsOf, type OhmsReading, voltsBetween } from "../circuit/measure.ts";
import { solveState } from "../circuit/solve.ts";
import type { LoadId, Machine, MachineState, TerminalId, WireId } from "../machine/machine.ts";
import { type Band, partOhms } from "./part-ohms.ts";
import { highImpedanceOhms, lowImpedanceOhms, meterError, statedTolerance } from "./tables/meters.ts";

export interface OhmsExpectation {
  /** False when parts of unknown resistance share in the reading; the band then holds whatever they are. */
  readonly known: boolean;
  readonly band: Band;
  /** Parts whose paths the meter sees beside or between the points. */
  readonly through: readonly LoadId[];
  readonly unknown: readonly LoadId[];
}

/** Ohms between two points, with leads taken off at `lifted`; every parallel path counts. */
export function expectedOhms(
  circuit: Circuit,
  state: MachineState,
  a: TerminalId,
  b: TerminalId,
  lifted: readonly TerminalId[] = [],
): OhmsExpectation {
  const { machine } = circuit;
  const overrides = liftedLeads(machine, lifted);
  const meter = meterBetween(circuit, state, a, b, overrides);
  const read = (which: keyof Band): OhmsReading => meter(ohmsFrom(machine, which));
  const middle = read("expected");
  const low = read("low");
  const high = read("high");
  const { share, ohms } = meterError.value;
  const bound = (value: number, sign: 1 | -1): number =>
    Number.isFinite(value) ? Math.max(0, value * (1 + sign * share) + sign * ohms) : value;
  return {
    known: middle.known,
    band: {
      low: bound(low.atLeast, -1),
      expected: middle.known ? middle.ohms : Number.NaN,
      high: bound(high.atMost, 1),
    },
    through: middle.through,
    unknown: middle.unknown,
  };
}

/** What the meter reads at each load alone, at one end of its band or as expected. */
export function ohmsFrom(machine: Machine, which: keyof Band): OhmsOf {
  return (load) => partOhms(machine, machine.loads[load]!)?.[which];
}

/** Wires that end on a point: what comes off when its lead is lifted. Connections inside a part stay. */
export function leadsAt(machine: Machine, terminal: TerminalId): WireId[] {
  return machine.wires.flatMap(({ id, a, b, kind }) =>
    kind !== "internal" && (a === terminal || b === terminal) ? [id] : [],
  );
}

export function liftedLeads(machine: Machine, lifted: readonly TerminalId[]): Overrides | undefined {
  if (lifted.length === 0) return undefined;
  const open: Override = { as: "open" };
  return { wires: new Map(lifted.flatMap((terminal) => leadsAt(machine, terminal)).map((wire) => [wire, open])) };
}

export interface VoltsExpectation {
  /** With an ordinary 10 Mohm meter, and with a low-impedance one, V. NaN where no single number tells. */
  readonly ordinary: Band;
  readonly lowImpedance: Band;
  /** A point that nothing ties to the supply: an ordinary meter may show stray volts of no meaning there. */
  readonly floating: boolean;
  /** Legs are tied together in this state: the breaker opens. */
  readonly shorted: boolean;
}

/** Volts between two points in a state at rest, supply limits and part tolerances in the band. */
export function expectedVolts(circuit: Circuit, state: MachineState, a: TerminalId, b: TerminalId): VoltsExpectation {
  const { machine } = circuit;
  const bare = solveState(circuit, state);
  const limits = limitsFor(machine.supply.frequency).value;
  const read = (ohms: number, supplyScale = 1, on: Circuit = circuit): number => {
    const overrides: Overrides = { added: [{ a, b, ohms }], supplyScale };
    return magnitude(voltsBetween(solveState(on, state, { overrides }), a, b));
  };
  const band = (ohms: number): Band => {
    const expected = read(ohms);
    // Each part off its plate by itself; what they shift together is at most the sum.
    let shift = 0;
    for (const on of detuned(machine)) shift += Math.abs(read(ohms, 1, on) - expected) || 0;
    const { share, volts } = meterError.value;
    const slack = shift + expected * share + volts;
    const ends = [read(ohms, limits.lowest), read(ohms, limits.highest)];
    return {
      low: Math.max(0, Math.min(...ends, expected) - slack),
      expected,
      high: Math.max(...ends, expected) + slack,
    };
  };
  const floats = (terminal: TerminalId): boolean => bare.fed[circuit.jointOf[terminal]!] !== 1;
  return {
    ordinary: band(highImpedanceOhms.value),
    lowImpedance: band(lowImpedanceOhms.value),
    floating: floats(a) || floats(b),
    shorted: bare.shorts.length > 0,
  };
}

const detunedCircuits = new WeakMap<Machine, readonly Circuit[]>();

/** The machine with one load after the other off its plate by the usual tolerance. */
function detuned(machine: Machine): readonly Circuit[] {
  let known = detunedCircuits.get(machine);
  if (!known) {
    const by = 1 + statedTolerance.value;
    known = machine.loads.map(({ id }) =>
      buildCircuit({
        ...machine,
        loads: machine.loads.map((load) =>
          load.id === id
            ? { ...load, impedance: load.impedance.map((z) => z && { re: z.re * by, im: z.im * by }) }
            : load,
        ),
      }),
    );
    detunedCircuits.set(machine, known);
  }
  return known;
}
