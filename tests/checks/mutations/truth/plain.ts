/**
 * A machine as the plain walk sees it: every state at rest, one at a time, with its solution. What ought to be found is worked out from
 * this and from the definitions on the pages of the checks, never from the checks themselves.
 */
import { toEnd } from "../../../../server/base/to-end.ts";
import { buildCircuit } from "../../../../server/circuit/build.ts";
import type { Circuit, Overrides, Solution } from "../../../../server/circuit/circuit.ts";
import { solveState } from "../../../../server/circuit/solve.ts";
import type { LoadId, Machine, MachineState, TerminalId } from "../../../../server/machine/machine.ts";
import type { Engine, LoadClass, Quantity } from "../../../../server/states/engine.ts";
import { makePlainEngine } from "../../../oracle/engine.ts";
import type { Look } from "../../../oracle/looks.ts";
import { Walk } from "../../../oracle/walk.ts";

/** `<id> <subject>`: `must` has to be told, and nothing may be told that is not in `may` as well. */
export class Facts {
  readonly must = new Set<string>();
  readonly may = new Set<string>();

  /** True without doubt. */
  add(id: string, subject = ""): void {
    this.must.add(`${id} ${subject}`.trim());
    this.may.add(`${id} ${subject}`.trim());
  }

  /** So near a bound, or so much a matter of judgement, that either is right. */
  allow(id: string, subject = ""): void {
    this.may.add(`${id} ${subject}`.trim());
  }
}

export interface Rest {
  readonly state: MachineState;
  readonly look: Look;
  /** Which joints closed contacts make one. */
  readonly group: Int32Array;
  readonly fed: boolean;
}

const CLASSES: readonly LoadClass[] = ["off", "weak", "works", "over"];

export class Plain {
  readonly circuit: Circuit;
  readonly engine: Engine;
  readonly walk: Walk;
  readonly rests: readonly Rest[];
  readonly #groups = new Map<number, Int32Array>();

  constructor(readonly machine: Machine) {
    this.circuit = buildCircuit(machine);
    this.engine = toEnd(makePlainEngine(this.circuit));
    this.walk = new Walk(this.circuit);
    toEnd(this.walk.run());
    this.rests = this.walk.atRest.map((number) => {
      const state = this.walk.stateOf(number).slice();
      const { look } = this.walk.found[number]!;
      return { state, look, group: this.groupOf(look), fed: state[machine.supply.control] === 0 };
    });
  }

  groupOf({ id, closed }: Pick<Look, "id" | "closed">): Int32Array {
    const known = this.#groups.get(id);
    if (known) return known;
    const made = this.paint((contact) => closed[contact] === 1);
    this.#groups.set(id, made);
    return made;
  }

  /** Joints joined by these contacts, by plain repeated painting. */
  paint(closed: (contact: number) => boolean): Int32Array {
    const colour = Int32Array.from({ length: this.circuit.jointCount }, (_, i) => i);
    for (const { id } of this.machine.contacts) {
      if (!closed(id)) continue;
      const from = colour[this.circuit.contactA[id]!]!;
      const to = colour[this.circuit.contactB[id]!]!;
      if (from !== to) for (let i = 0; i < colour.length; i++) if (colour[i] === from) colour[i] = to;
    }
    return colour;
  }

  joint(terminal: TerminalId): number {
    return this.circuit.jointOf[terminal]!;
  }

  /** Joints of the legs of a role. */
  legs(role: "live" | "neutral" | "protective"): number[] {
    return this.machine.supply.legs.filter((leg) => leg.role === role).map(({ terminal }) => this.joint(terminal));
  }

  /** The joint is tied to one of these through closed contacts. */
  tied({ group }: Rest, joint: number, to: readonly number[]): boolean {
    return to.some((other) => group[other] === group[joint]);
  }

  is({ look }: Rest, load: LoadId, ...classes: LoadClass[]): boolean {
    return classes.includes(CLASSES[look.classes[load]!]!);
  }

  on(rest: Rest, load: LoadId): boolean {
    return this.is(rest, load, "weak", "works", "over");
  }

  full(rest: Rest, load: LoadId): boolean {
    return this.is(rest, load, "works", "over");
  }

  /** The contact alone opened, the load is off. */
  inSeries({ look }: Rest, contact: number, load: LoadId): boolean {
    return (
      look.closed[contact] === 1 &&
      look.classes[load] !== 0 &&
      this.walk.looks.classesWithout(look, contact)[load] === 0
    );
  }

  volts(rest: Rest, load: LoadId, overrides?: Overrides): number {
    const { loadVolts } = overrides ? solveState(this.circuit, rest.state, { overrides }) : rest.look.solution;
    return Math.hypot(loadVolts.re[load]!, loadVolts.im[load]!);
  }

  amps({ look }: Rest, load: LoadId): number {
    return ampsOf(look.solution, load);
  }

  /** Amps that the other load loses when this one is opened: what of this one's current goes through it. */
  takenOver({ state, look }: Rest, load: LoadId, other: LoadId): number {
    const overrides = { loads: new Map([[load, { as: "open" as const }]]) };
    const { loadAmps } = solveState(this.circuit, state, { overrides });
    const before = look.solution.loadAmps;
    return Math.hypot(before.re[other]! - loadAmps.re[other]!, before.im[other]! - loadAmps.im[other]!);
  }

  /** Opening the other load takes this one at least half its volts, and the other carries current. */
  through(rest: Rest, load: LoadId, other: LoadId): boolean {
    if (load === other || !(this.amps(rest, other) > 1e-6)) return false;
    const opened = this.volts(rest, load, { loads: new Map([[other, { as: "open" }]]) });
    return opened < this.volts(rest, load) / 2;
  }

  /** One state for each look that differs, since nothing else counts for volts and amps. */
  eachLook(rests: readonly Rest[]): Rest[] {
    return [...new Map(rests.map((rest) => [rest.look.id, rest])).values()];
  }

  /** No motor hums. */
  steady(): readonly Rest[] {
    const motors = this.machine.controls.filter(({ role }) => role === "motor");
    return this.rests.filter(({ state }) => motors.every(({ id }) => state[id] !== 1));
  }

  largest(quantity: Quantity): number {
    return this.engine.extreme(quantity, this.engine.all()).largest?.value ?? 0;
  }

  partOf(load: LoadId): string {
    return this.machine.parts[this.machine.loads[load]!.part]!.name;
  }

  chatters(): boolean {
    return this.engine.chatters().length > 0;
  }
}

export function ampsOf({ loadAmps }: Solution, load: LoadId): number {
  return Math.hypot(loadAmps.re[load]!, loadAmps.im[load]!);
}
