/** Acts of a contact that are over its rating, each against the limit for the kind of load that it switches. */
import type { Contact, LoadId, MachineState } from "../../machine/machine.ts";
import type { Engine, Extremes, Region } from "../../states/engine.ts";
import { energised } from "../ask.ts";
import { dutyOf, fedBy, startingMoment } from "../fed-by.ts";
import { type Act, judge, type LoadDuty, type Verdict } from "../rating.ts";
import { isProved } from "../unproved.ts";

export interface Overload {
  readonly act: Act;
  readonly duty: LoadDuty;
  readonly verdict: Verdict & { readonly verdict: "over" };
  /** False where the search for more was cut short. */
  readonly proved: boolean;
  readonly state: MachineState;
  readonly before?: MachineState;
  readonly loads: readonly LoadId[];
}

interface Over {
  readonly duty: LoadDuty;
  readonly verdict: Overload["verdict"];
}

export class Overloads {
  private readonly engine: Engine;
  private readonly energisedOf = new Map<LoadId, Region>();

  constructor(engine: Engine) {
    this.engine = engine;
  }

  /**
   * The whole current against the largest limit of the kinds that flow in it: a contact that may make 24 A of motor makes 20 A of motor and
   * heater as well. Else the current of one kind in that same state against its own limit. Over is what is over at each of the volts.
   */
  of(contact: Contact, volts: readonly number[], act: Act, whole: Extremes): Overload | undefined {
    const { engine } = this;
    const most = whole.largest;
    if (!most || !(most.value > 0)) return undefined;
    const state = act === "break" ? (most.before ?? most.state) : most.state;
    const moment = act === "make" ? startingMoment(engine, most, (load) => this.on(load)) : undefined;
    const { loads, main, byDuty } = fedBy(engine, contact.id, state, moment);
    // With nothing told apart the whole current is judged as resistive.
    const kinds =
      loads.length === 0 ? (["resistive"] as const) : [main, ...[...byDuty.keys()].filter((duty) => duty !== main)];
    const verdicts = kinds.map((duty) => ({ duty, verdict: mildest(contact, volts, duty, act, most.value) }));
    const over = (each: (typeof verdicts)[number]): each is Over => each.verdict !== undefined;
    let found = verdicts.every(over)
      ? verdicts.filter(over).reduce((a, b) => (b.verdict.share < a.verdict.share ? b : a))
      : undefined;
    for (const [duty, value] of act === "carry" ? [] : byDuty) {
      if (found) break;
      const verdict = mildest(contact, volts, duty, act, Math.min(value, most.value));
      if (verdict) found = { duty, verdict };
    }
    if (found)
      return {
        act,
        ...found,
        proved: isProved(whole),
        state,
        ...(act === "make" && most.before && { before: most.before }),
        loads,
      };
    return undefined;
  }

  /** The share of one kind of load, which is over its own limit while the whole current is within that of the main kind. */
  ofShare(
    contact: Contact,
    volts: readonly number[],
    act: "make" | "break",
    duty: LoadDuty,
    current: Extremes,
  ): Overload | undefined {
    const { engine } = this;
    const most = current.largest;
    const verdict = most && mildest(contact, volts, duty, act, most.value);
    if (!verdict) return undefined;
    const state = act === "break" ? (most.before ?? most.state) : most.state;
    const { loads } = engine.circuit.machine;
    return {
      act,
      duty,
      verdict,
      proved: isProved(current),
      state,
      ...(act === "make" && most.before && { before: most.before }),
      loads: fedBy(engine, contact.id, state).loads.filter((id) => dutyOf(loads[id]!) === duty),
    };
  }

  /** States in which the load is on: asked again for every contact. */
  private on(load: LoadId): Region {
    let region = this.energisedOf.get(load);
    if (!region) this.energisedOf.set(load, (region = energised(this.engine, load)));
    return region;
  }
}

/** Undefined unless it is over at each of the volts. */
function mildest(
  { ratings }: Contact,
  volts: readonly number[],
  duty: LoadDuty,
  act: Act,
  amps: number,
): Overload["verdict"] | undefined {
  let least: Overload["verdict"] | undefined;
  for (const each of volts) {
    const verdict = judge(ratings, each, duty, act, amps);
    if (verdict.verdict === "within" || verdict.verdict === "not-stated") return undefined;
    if (verdict.verdict === "over" && (!least || verdict.share < least.share)) least = verdict as Overload["verdict"];
  }
  return least;
}
