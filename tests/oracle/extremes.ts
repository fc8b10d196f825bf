/** Smallest and largest values: MEANING.md, "Extremes". Every state and every step is looked at. */
import type { Circuit, Solution } from "../../server/circuit/circuit.ts";
import type { LoadId, TerminalId } from "../../server/machine/machine.ts";
import type { Extreme, Extremes, Quantity } from "../../server/states/engine.ts";
import { isAlive, OFF } from "./load-class.ts";
import type { Look, Looks } from "./looks.ts";
import { sharedCurrent } from "./shares.ts";
import type { Walk } from "./walk.ts";
import { currentOutOf, nearSide } from "./wires.ts";

/** Keeps the smallest and the largest of the values shown to it. */
class Tally {
  smallest: { value: number; before: number; state: number } | undefined;
  largest: { value: number; before: number; state: number } | undefined;

  show(value: number, state: number, before = -1): void {
    if (Number.isNaN(value)) return;
    if (this.smallest === undefined || value < this.smallest.value) this.smallest = { value, before, state };
    if (this.largest === undefined || value > this.largest.value) this.largest = { value, before, state };
  }

  extremes(walk: Walk): Extremes {
    const told = (one: { value: number; before: number; state: number } | undefined): Extreme | undefined =>
      one && {
        value: one.value,
        state: walk.stateOf(one.state).slice(),
        ...(one.before >= 0 && { before: walk.stateOf(one.before).slice() }),
      };
    return { smallest: told(this.smallest), largest: told(this.largest), exact: walk.complete };
  }
}

/** `care`: one byte for each state at rest. */
export function extremesOf(walk: Walk, quantity: Quantity, care: Uint8Array, steps: StepTables): Extremes {
  switch (quantity.of) {
    case "makes":
    case "breaks":
      if (quantity.loads) return steps.shares(care, quantity).extremes(walk);
      return steps.of(care)[quantity.of][quantity.contact]!.extremes(walk);
    case "breaks-volts":
      return steps.of(care)[quantity.of][quantity.contact]!.extremes(walk);
    default: {
      const near = quantity.of === "wire-amps" ? nearSide(walk.looks.circuit.machine, quantity.wire) : undefined;
      if (quantity.of === "wire-amps" && near === undefined) return { exact: false };
      const tally = new Tally();
      walk.atRest.forEach((state, position) => {
        const { look } = walk.found[state]!;
        if (care[position] !== 1 || look.shorted) return;
        const value = steadyValue(walk.looks.circuit, look, quantity, near);
        if (value !== undefined) tally.show(value, state);
      });
      return tally.extremes(walk);
    }
  }
}

type ShareQuantity = Extract<Quantity, { of: "makes" | "breaks" }>;

export type SteadyQuantity = Exclude<Quantity, { of: "makes" | "breaks" | "breaks-volts" }>;

/** Undefined where it is not counted. `near`: for wires, what `nearSide` tells. */
export function steadyValue(
  circuit: Circuit,
  look: Look,
  quantity: SteadyQuantity,
  near: ReadonlySet<TerminalId> | undefined,
): number | undefined {
  const { loadVolts: volts, loadAmps: amps } = look.solution;
  if (quantity.of === "carries" && quantity.loads)
    return look.closed[quantity.contact] ? shared(look.solution, look, quantity.contact, quantity.loads) : undefined;
  if (quantity.of === "carries")
    return look.closed[quantity.contact] ? contactAmps(look.solution, quantity.contact) : undefined;
  if (quantity.of === "leg-amps")
    return Math.hypot(look.solution.legAmps.re[quantity.leg]!, look.solution.legAmps.im[quantity.leg]!);
  if (quantity.of === "wire-amps") return currentOutOf(look.solution, near!);
  const load = circuit.machine.loads[quantity.load]!;
  if (!isAlive(circuit, look.solution, load)) return 0;
  switch (quantity.of) {
    case "load-volts":
      return Math.hypot(volts.re[load.id]!, volts.im[load.id]!);
    case "load-amps":
      return Math.hypot(amps.re[load.id]!, amps.im[load.id]!);
    case "load-watts":
      return look.solution.loadWatts[load.id]!;
  }
}

function shared(solution: Solution, { closed }: Look, contact: number, loads: readonly LoadId[]): number {
  return sharedCurrent(solution, closed, contact, loads).amps;
}

function contactAmps(solution: Solution, contact: number): number {
  return Math.hypot(solution.contactAmps.re[contact]!, solution.contactAmps.im[contact]!);
}

/** Work between two yields: a few milliseconds. */
const STEPS_PER_JOB = 2000;
const PAIRS_PER_JOB = 60;

type Tallies = Readonly<Record<"makes" | "breaks" | "breaks-volts", readonly Tally[]>>;

/** Values of all contacts over all steps; computed at the first question about a care set. */
export class StepTables {
  readonly #walk: Walk;
  readonly #tables = new WeakMap<Uint8Array, Tallies>();
  /** What happens between two looks, by their numbers: many steps share it. */
  readonly #pairs = new Map<number, readonly ContactStep[]>();

  constructor(walk: Walk) {
    this.#walk = walk;
  }

  of(care: Uint8Array): Tallies {
    let tallies = this.#tables.get(care);
    if (tallies === undefined) {
      const run = this.prepare(care);
      while (!run.next().done);
      tallies = this.#tables.get(care)!;
    }
    return tallies;
  }

  /** What one contact makes or breaks for some loads only. */
  shares(care: Uint8Array, { of, contact, loads }: ShareQuantity): Tally {
    const tally = new Tally();
    const { found, looks } = this.#walk;
    for (const _ of this.#visit(care, (from, to) => {
      const [before, after] = [found[from]!.look, found[to]!.look];
      if (before.closed[contact] === after.closed[contact] || (after.closed[contact] === 1) !== (of === "makes"))
        return;
      if (of === "breaks" && !before.shorted) tally.show(shared(before.solution, before, contact, loads!), to, from);
      if (of === "makes" && !after.shorted) {
        const first = looks.inrush(after, startingLoads(before, after));
        tally.show(shared(first, after, contact, loads!), to, from);
      }
    }));
    return tally;
  }

  /** Computes the table of a care set in short jobs. */
  *prepare(care: Uint8Array): Generator<void, void> {
    const { contacts } = this.#walk.looks.circuit.machine;
    const tallies: Tallies = {
      makes: contacts.map(() => new Tally()),
      breaks: contacts.map(() => new Tally()),
      "breaks-volts": contacts.map(() => new Tally()),
    };
    yield* this.#visit(care, (before, after) => this.#count(before, after, tallies));
    this.#tables.set(care, tallies);
  }

  /** Shows every step that sets out from a state in care, passed through ones too. */
  *#visit(care: Uint8Array, show: (before: number, after: number) => void): Generator<void, void> {
    const walk = this.#walk;
    const settled = new Uint8Array(walk.found.length);
    let pairs = this.#pairs.size;
    let steps = 0;
    const due = (): boolean => {
      if (++steps < STEPS_PER_JOB && this.#pairs.size - pairs < PAIRS_PER_JOB) return false;
      pairs = this.#pairs.size;
      steps = 0;
      return true;
    };
    for (let position = 0; position < walk.atRest.length; position++) {
      if (care[position] !== 1) continue;
      const origin = walk.atRest[position]!;
      const unsettled: number[] = [];
      for (const next of walk.found[origin]!.next) {
        show(origin, next);
        if (due()) yield;
        unsettled.push(next);
      }
      for (let state = unsettled.pop(); state !== undefined; state = unsettled.pop()) {
        if (settled[state] || walk.found[state]!.atRest) continue;
        settled[state] = 1;
        for (const next of walk.found[state]!.next) {
          show(state, next);
          if (due()) yield;
          unsettled.push(next);
        }
      }
    }
  }

  #count(before: number, after: number, tallies: Tallies): void {
    for (const step of this.#step(this.#walk.found[before]!.look, this.#walk.found[after]!.look)) {
      if (step.makes !== undefined) tallies.makes[step.contact]!.show(step.makes, after, before);
      if (step.breaks !== undefined) tallies.breaks[step.contact]!.show(step.breaks, after, before);
      if (step.volts !== undefined) tallies["breaks-volts"][step.contact]!.show(step.volts, after, before);
    }
  }

  #step(before: Look, after: Look): readonly ContactStep[] {
    const key = before.id * 0x4000000 + after.id;
    let step = this.#pairs.get(key);
    if (step === undefined) this.#pairs.set(key, (step = contactSteps(this.#walk.looks, before, after)));
    return step;
  }
}

/** What one contact does in a step; fields that are not counted are left out. */
export interface ContactStep {
  readonly contact: number;
  readonly makes?: number;
  readonly breaks?: number;
  readonly volts?: number;
}

export function contactSteps(looks: Looks, before: Look, after: Look): ContactStep[] {
  const { circuit } = looks;
  const steps: ContactStep[] = [];
  let first: Solution | undefined;
  for (let contact = 0; contact < before.closed.length; contact++) {
    if (before.closed[contact] === after.closed[contact]) continue;
    if (after.closed[contact]) {
      if (after.shorted) continue;
      first ??= looks.inrush(after, startingLoads(before, after));
      steps.push({ contact, makes: contactAmps(first, contact) });
    } else {
      steps.push({
        contact,
        ...(!before.shorted && { breaks: contactAmps(before.solution, contact) }),
        ...(!after.shorted && {
          volts: voltsBetween(after.solution, circuit.contactA[contact]!, circuit.contactB[contact]!),
        }),
      });
    }
  }
  return steps;
}

/** Loads that are off before and at least weak after. */
function startingLoads(before: Look, after: Look): number[] {
  const loads: number[] = [];
  for (let load = 0; load < after.classes.length; load++) {
    if (before.classes[load] === OFF && after.classes[load] !== OFF) loads.push(load);
  }
  return loads;
}

function voltsBetween(solution: Solution, a: number, b: number): number {
  const { re, im } = solution.joints;
  return Math.hypot(re[a]! - re[b]!, im[a]! - im[b]!);
}
