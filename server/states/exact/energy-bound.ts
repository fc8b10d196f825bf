/**
 * What a load can draw at most, whatever stands in series or beside it: a bound from the energy of the whole network.
 *
 * Let the loads have admittances Y whose angles lie within a spread of less than 180 degrees. Turned by the middle of the spread, each
 * has a real part of at least |Y| cos(spread / 2). The volts u that settle in and any volts t that agree with them at the legs have
 * sum(Y u conj(u - t)) = 0, so that cos(spread / 2) sum(|Y| |u|^2) <= |sum(Y u conj(t))|, and by the inequality of Cauchy and Schwarz
 * sum(|Y| |u|^2) <= sum(|Y| |t|^2) / cos(spread / 2)^2 (the estimate of J. Cea, 1964, for approximations of elliptic equations). With all joints but
 * the legs at one leg's volts no |t| is above the largest volts between two legs. The current |Y u| of one load is at most the square
 * root of |Y| times that of the sum. Capacitors beside inductances are a spread of 180 degrees: they may ring, and there is no bound.
 */
import type { Complex } from "../../machine/machine.ts";
import { conducts } from "./elements.ts";

/**
 * For each load the most amps that it draws; infinite where nothing can be said.
 *
 * @param impedances for each load all impedances that it may have, ohm; what does not conduct is left out of account
 * @param volts the largest between two legs, V
 */
export function energyBound(impedances: readonly (readonly (Complex | undefined)[])[], volts: number): number[] {
  let least = Infinity;
  let most = -Infinity;
  const admittances = impedances.map((all) => {
    let largest = 0;
    for (const z of all) {
      if (!conducts(z)) continue;
      const angle = Math.atan2(z!.im, z!.re);
      least = Math.min(least, angle);
      most = Math.max(most, angle);
      largest = Math.max(largest, 1 / Math.hypot(z!.re, z!.im));
    }
    return largest;
  });
  const cosine = most > least ? Math.cos((most - least) / 2) : 1;
  if (most - least >= Math.PI * (1 - 1e-9)) return admittances.map((y) => (y > 0 ? Infinity : 0));
  const whole = admittances.reduce((sum, y) => sum + y, 0);
  return admittances.map((y) => (volts * Math.sqrt(y * whole)) / cosine);
}
