/** Largest currents through legs and wires, found from the states that the loads and contacts themselves are worst in. */
import type { MachineState, TerminalId, Wire, WireId } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { anyOf, position } from "./ask.ts";

export interface FoundCurrent {
  readonly amps: number;
  readonly state: MachineState;
}

/**
 * Candidate states: for each load the state of its largest current. A leg or wire current found in one of them is real; that
 * no other state has more is true where each wire feeds loads that are worst together, not in general, so these checks only
 * ever say "too much", never "enough".
 */
export function* worstStates(engine: Engine): Generator<void, MachineState[]> {
  // A motor that hums draws its locked-rotor current: told by its own check, and not what breakers and wires are sized for.
  const motors = engine.circuit.machine.controls.filter(({ role }) => role === "motor");
  const hums = motors.map(({ id }) =>
    engine.where([[{ control: id, positions: position(engine.circuit.machine, id, 1) }]]),
  );
  const care = engine.not(anyOf(engine, hums));
  const seen = new Map<string, MachineState>();
  for (const { id } of engine.circuit.machine.loads) {
    const state = engine.extreme({ of: "load-amps", load: id }, care).largest?.state;
    if (state) seen.set(state.join(), state);
    yield;
  }
  for (const { id } of engine.circuit.machine.contacts) {
    const state = engine.extreme({ of: "carries", contact: id }, care).largest?.state;
    if (state) seen.set(state.join(), state);
    yield;
  }
  return [...seen.values()];
}

/** Amps delivered by each leg, largest over the states given. */
export function largestLegAmps(engine: Engine, states: readonly MachineState[]): (FoundCurrent | undefined)[] {
  const best: (FoundCurrent | undefined)[] = engine.circuit.machine.supply.legs.map(() => undefined);
  for (const state of states) {
    const { legAmps } = engine.solve(state);
    best.forEach((before, leg) => {
      const amps = Math.hypot(legAmps.re[leg]!, legAmps.im[leg]!);
      if (Number.isFinite(amps) && (before === undefined || amps > before.amps)) best[leg] = { amps, state };
    });
  }
  return best;
}

/**
 * Largest current of each wire over the states given. A wire's current is the sum of what flows into the points on its far
 * side; where wires of one connection form a ring it is not one number and is left out.
 */
export function largestWireAmps(
  engine: Engine,
  wires: readonly Wire[],
  states: readonly MachineState[],
): Map<WireId, FoundCurrent> {
  const sides = new Map<WireId, ReadonlySet<TerminalId>>();
  for (const wire of wires) {
    const side = farSide(engine, wire);
    if (side) sides.set(wire.id, side);
  }
  const best = new Map<WireId, FoundCurrent>();
  for (const state of states) {
    const into = currentInto(engine, state);
    for (const [wire, side] of sides) {
      let re = 0;
      let im = 0;
      for (const terminal of side) {
        re += into.re[terminal]!;
        im += into.im[terminal]!;
      }
      const amps = Math.hypot(re, im);
      if (Number.isFinite(amps) && amps > (best.get(wire)?.amps ?? 0)) best.set(wire, { amps, state });
    }
  }
  return best;
}

/** Terminals reached from the wire's second end without it; undefined when its first end is among them. */
function farSide(engine: Engine, wire: Wire): ReadonlySet<TerminalId> | undefined {
  const { machine } = engine.circuit;
  const side = new Set<TerminalId>([wire.b]);
  const queue = [wire.b];
  for (let at = queue.pop(); at !== undefined; at = queue.pop())
    for (const { id, a, b } of machine.wires) {
      if (id === wire.id || (a !== at && b !== at)) continue;
      const next = a === at ? b : a;
      if (side.has(next)) continue;
      if (next === wire.a) return undefined;
      side.add(next);
      queue.push(next);
    }
  return side;
}

/** Current that parts and legs push into the wiring at each terminal. */
function currentInto(engine: Engine, state: MachineState): { re: Float64Array; im: Float64Array } {
  const { machine } = engine.circuit;
  const solution = engine.solve(state);
  const re = new Float64Array(machine.terminals.length);
  const im = new Float64Array(machine.terminals.length);
  const add = (terminal: TerminalId, x: number, y: number): void => {
    re[terminal]! += x;
    im[terminal]! += y;
  };
  machine.supply.legs.forEach(({ terminal }, leg) => {
    add(terminal, solution.legAmps.re[leg]!, solution.legAmps.im[leg]!);
  });
  for (const { id, a, b } of machine.contacts) {
    add(a, -solution.contactAmps.re[id]!, -solution.contactAmps.im[id]!);
    add(b, solution.contactAmps.re[id]!, solution.contactAmps.im[id]!);
  }
  for (const { id, a, b } of machine.loads) {
    add(a, -solution.loadAmps.re[id]!, -solution.loadAmps.im[id]!);
    add(b, solution.loadAmps.re[id]!, solution.loadAmps.im[id]!);
  }
  return { re, im };
}
