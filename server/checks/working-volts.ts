/** The voltage that a contact works at, which picks the point of its rating set. */
import { magnitude } from "../circuit/measure.ts";
import type { Contact } from "../machine/machine.ts";
import type { Engine, Extreme } from "../states/engine.ts";
import { fedBy } from "./fed-by.ts";

/**
 * The voltage of the circuit that the contact works in: the smallest voltage between two legs (or leg and neutral) that is
 * not below what stands across the contact when it opens. A motor's capacitor can push the volts across an open contact
 * above the supply; ratings are stated for the supply.
 */
export function workingVoltsOf(engine: Engine, contact: Contact, carries: Extreme): number {
  const { legs } = engine.circuit.machine.supply;
  const across = engine.extreme({ of: "breaks-volts", contact: contact.id }, engine.all()).largest?.value ?? 0;
  let measured = across;
  if (!(measured > 1)) {
    const solution = engine.solve(carries.state);
    for (const load of fedBy(engine, contact.id, carries.state).loads)
      measured = Math.max(measured, Math.hypot(solution.loadVolts.re[load]!, solution.loadVolts.im[load]!));
  }
  const between = legs.flatMap((a, i) =>
    legs.slice(i + 1).map((b) => magnitude({ re: a.volts.re - b.volts.re, im: a.volts.im - b.volts.im })),
  );
  const possible = [...new Set(between.filter((v) => v > 1))].sort((a, b) => a - b);
  const smallest = possible[0] ?? measured;
  // Behind a transformer the volts are its own.
  if (engine.circuit.machine.transformers.length > 0 && measured < smallest / 2) return measured;
  return possible.find((v) => v >= measured * 0.95) ?? possible.at(-1) ?? measured;
}
