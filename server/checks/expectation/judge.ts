/** What became of an `expect` statement: proved over all reachable states, or refuted by one of them. */
import type { ShownState } from "../../base/finding.ts";
import { magnitude } from "../../circuit/measure.ts";
import type { ControlId, Expectation, LoadId, Machine, MachineState, Target } from "../../machine/machine.ts";
import type { Engine, Quantity, Region } from "../../states/engine.ts";
import { anyOf, energised, FULL, less, position, supplyOn, wayOpen } from "../ask.ts";
import { amps, doing, volts, watts } from "../words.ts";
import { after, type Changes, handsOff, wayInto } from "./changes.ts";

export type Outcome =
  | { readonly outcome: "holds" }
  /** A state that shows the contrary, and what happens in it. */
  | { readonly outcome: "refuted"; readonly state: MachineState; readonly instead: string; readonly told?: ShownState }
  /** No reachable state satisfies the condition, so it says nothing. */
  | { readonly outcome: "never-happens" }
  /** It held in all the states that were looked at, but not all were. */
  | { readonly outcome: "not-covered" }
  /** The search for the most and the least of an amount was cut short; what was found held. */
  | { readonly outcome: "cut-short" }
  /** The statement is not one that can be judged: unknown verb, or a subject of another kind. */
  | { readonly outcome: "not-judged"; readonly why: string };

/** Without a stated range or tolerance, how near a value must lie. Trade judgement, no published source. */
const NEAR = 0.02;

const ON_VERBS = new Set([
  "works",
  "runs",
  "heats",
  "lights",
  "on",
  "hums",
  "buzzes",
  "energised",
  "advances",
  "opens",
]);
const OFF_VERBS = new Set(["off", "waits"]);

export function judgeExpectation(engine: Engine, expectation: Expectation): Outcome {
  const written = expectation.statement.verb?.text ?? "";
  const stays = written.startsWith("stays ");
  const verb = stays ? written.slice("stays ".length) : written;
  const { subject } = expectation;
  if (!subject) return { outcome: "not-judged", why: "its subject is not known" };
  if (expectation.after !== undefined && expectation.after.length > 0)
    return judgeAfter(engine, expectation, expectation.after, subject, verb, stays);
  const care = expectation.when ? engine.where(expectation.when) : engine.all();
  if (engine.isEmpty(care))
    return engine.covered().complete ? { outcome: "never-happens" } : { outcome: "not-covered" };
  // A part that should work is expected to with its cut-outs, links and fuses whole; "off" assumes nothing.
  const named = new Set((expectation.when ?? []).flatMap((clause) => clause.map(({ control }) => control)));
  const whole = engine.and(engine.and(care, protectorsClosed(engine, named)), supplyOn(engine));

  if (verb === "gets") return judgeGets(engine, expectation, subject, whole);
  const target = targetRegion(engine, subject, verb);
  if (typeof target === "string") return { outcome: "not-judged", why: target };
  const scope = target.wants === "on" ? whole : care;
  if (engine.isEmpty(scope))
    return engine.covered().complete ? { outcome: "never-happens" } : { outcome: "not-covered" };
  const against = target.wants === "on" ? less(engine, scope, target.region) : engine.and(scope, target.region);
  const state = engine.witness(against);
  if (state) return { outcome: "refuted", state, instead: insteadWords(engine, subject, state) };
  return engine.covered().complete ? { outcome: "holds" } : { outcome: "not-covered" };
}

/**
 * Changes made one after the other, from every reachable state that fits the condition with pushes let go. `stays` is asked after
 * every one of them, else after the last.
 */
function judgeAfter(
  engine: Engine,
  expectation: Expectation,
  changes: Changes,
  subject: Target,
  verb: string,
  stays: boolean,
): Outcome {
  const complete = engine.covered().complete;
  if (changes.length < (expectation.statement.after?.length ?? 0))
    return { outcome: "not-judged", why: "one of its changes names no single position" };
  if (verb === "gets") return { outcome: "not-judged", why: "amounts are judged without changes only" };
  const conditions = new Set((expectation.when ?? []).flatMap((clause) => clause.map(({ control }) => control)));
  const named = new Set([...conditions, ...changes.map(({ control }) => control)]);
  const when = expectation.when ? engine.where(expectation.when) : engine.all();
  const from = engine.and(when, handsOff(engine, named));
  const regions = after(engine, from, changes);
  if (!regions) return { outcome: "not-judged", why: "it speaks of changes one after the other" };
  const target = targetRegion(engine, subject, verb);
  if (typeof target === "string") return { outcome: "not-judged", why: target };
  const whole = engine.and(protectorsClosed(engine, named), supplyOn(engine));
  if (engine.isEmpty(regions.at(-1)!)) return complete ? { outcome: "never-happens" } : { outcome: "not-covered" };
  for (let made = stays ? 1 : changes.length; made <= changes.length; made++) {
    const there = regions[made - 1]!;
    const against =
      target.wants === "on" ? less(engine, engine.and(there, whole), target.region) : engine.and(there, target.region);
    if (engine.isEmpty(against)) continue;
    const way = wayInto(engine, from, changes.slice(0, made), against);
    const state = way?.state ?? engine.witness(against)!;
    return { outcome: "refuted", state, instead: insteadWords(engine, subject, state), ...(way && { told: way.told }) };
  }
  return complete ? { outcome: "holds" } : { outcome: "not-covered" };
}

/** States in which every protector, link and fuse whose control the condition does not name is closed. */
function protectorsClosed(engine: Engine, named: ReadonlySet<ControlId>): Region {
  const { machine } = engine.circuit;
  let region = engine.all();
  for (const contact of machine.contacts) {
    if (!["limit", "link", "overload", "built-in-protector", "fuse", "breaker"].includes(contact.role)) continue;
    const controls = contact.closed.flatMap((clause) => clause.map(({ control }) => control));
    if (controls.some((control) => named.has(control))) continue;
    region = engine.and(region, engine.closed(contact.id));
  }
  return region;
}

type Wanted = { readonly wants: "on" | "off"; readonly region: Region };

/** The states in which the subject does what the verb speaks of, and whether that is wanted or not; a string says why not. */
function targetRegion(engine: Engine, subject: Target, verb: string): Wanted | string {
  const { machine } = engine.circuit;
  if (subject.type === "contact") {
    if (verb === "closed") return { wants: "on", region: engine.closed(subject.contact) };
    if (verb === "open") return { wants: "off", region: engine.closed(subject.contact) };
  }
  if (subject.type === "part" && (verb === "closed" || verb === "open")) {
    const contacts = machine.parts[subject.part]!.contacts;
    if (contacts.length === 1) return { wants: verb === "closed" ? "on" : "off", region: engine.closed(contacts[0]!) };
  }
  const off = OFF_VERBS.has(verb);
  if (!off && !ON_VERBS.has(verb)) return `the word ${verb || "behind it"} is not one that can be judged`;
  const loads = loadsOf(machine, subject, verb);
  const controls = controlsOf(machine, subject);
  const motor = controls.find((id) => machine.controls[id]!.role === "motor");
  const seats = controls.filter((id) => machine.controls[id]!.role === "valve");
  if (seats.length > 0 && subject.type === "part") {
    // A valve with seats is "off" when it passes nothing: all of its seats in a row must be open for the gas to flow.
    return { wants: off ? "off" : "on", region: wayOpen(engine, seats) };
  }
  if (motor !== undefined && subject.type === "part" && !off && verb !== "hums") {
    const running = Uint8Array.from(machine.controls[motor]!.positions, (_, at) => (at >= 2 ? 1 : 0));
    return { wants: "on", region: engine.where([[{ control: motor, positions: running }]]) };
  }
  if (motor !== undefined && verb === "hums")
    return { wants: "on", region: engine.where([[{ control: motor, positions: position(machine, motor, 1) }]]) };
  if (loads.length === 0) return "it has nothing that works or rests";
  // "waits": the timer's own motor does not turn; weak volts do not turn it either.
  if (verb === "waits")
    return {
      wants: "off",
      region: anyOf(
        engine,
        loads.map((id) => engine.when(id, FULL)),
      ),
    };
  if (off)
    return {
      wants: "off",
      region: anyOf(
        engine,
        loads.map((id) => energised(engine, id)),
      ),
    };
  return {
    wants: "on",
    region: anyOf(
      engine,
      loads.map((id) => engine.when(id, FULL)),
    ),
  };
}

function loadsOf(machine: Machine, subject: Target, verb: string): readonly LoadId[] {
  if (subject.type === "load") return [subject.load];
  if (subject.type !== "part") return [];
  const part = machine.parts[subject.part]!;
  const program = machine.programs.find(({ part: owner }) => owner === subject.part);
  if (program?.drive !== undefined && (verb === "waits" || verb === "advances" || part.loads.length === 1))
    return [program.drive];
  const main = part.loads.filter(
    (id) => !["start-winding", "bias-heater", "capacitor"].includes(machine.loads[id]!.kind),
  );
  return main.length > 0 ? main : part.loads;
}

function controlsOf(machine: Machine, subject: Target): readonly ControlId[] {
  if (subject.type === "part") return machine.parts[subject.part]!.controls;
  return subject.type === "load" ? [] : [];
}

function judgeGets(engine: Engine, expectation: Expectation, subject: Target, care: Region): Outcome {
  const { machine } = engine.circuit;
  const { quantity } = expectation.statement;
  const loads = loadsOf(machine, subject, "gets");
  const load = loads[0];
  if (!quantity || load === undefined)
    return { outcome: "not-judged", why: "it names no amount, or a part that gets none" };
  if (engine.isEmpty(care))
    return engine.covered().complete ? { outcome: "never-happens" } : { outcome: "not-covered" };
  const of = ({ voltage: "load-volts", current: "load-amps", power: "load-watts" } as const)[
    quantity.dimension as "voltage" | "current" | "power"
  ];
  if (of === undefined) return { outcome: "not-judged", why: "only volts, amps and watts can be expected" };
  const say = of === "load-volts" ? volts : of === "load-amps" ? amps : watts;
  const spread = quantity.upper !== undefined ? 0 : Math.abs(quantity.value) * (quantity.tolerance ?? NEAR);
  const low = quantity.value - spread;
  const high = (quantity.upper ?? quantity.value) + spread;
  const asked: Quantity = { of, load };
  const { smallest, largest, exact } = engine.extreme(asked, care);
  if (largest && largest.value > high * (1 + 1e-9) + 1e-9)
    return { outcome: "refuted", state: largest.state, instead: `it gets ${say(largest.value)}` };
  if (smallest && smallest.value < low * (1 - 1e-9) - 1e-9)
    return { outcome: "refuted", state: smallest.state, instead: `it gets ${say(smallest.value)}` };
  if (!engine.covered().complete) return { outcome: "not-covered" };
  if (!exact) return { outcome: "cut-short" };
  if (!smallest || !largest) return { outcome: "not-judged", why: "its value is not known as a number" };
  return { outcome: "holds" };
}

function insteadWords(engine: Engine, subject: Target, state: MachineState): string {
  const { machine } = engine.circuit;
  if (subject.type === "contact")
    return engine.has(engine.closed(subject.contact), state) ? "it is closed" : "it is open";
  const controls = controlsOf(machine, subject);
  const settled = controls.map((id) => machine.controls[id]!).find(({ role }) => role === "motor" || role === "valve");
  const loads = loadsOf(machine, subject, "works");
  const solution = engine.solve(state);
  const volt = loads.map((id) => ({
    id,
    v: magnitude({ re: solution.loadVolts.re[id]!, im: solution.loadVolts.im[id]! }),
  }));
  const most = volt.reduce<{ id: number; v: number } | undefined>(
    (a, b) => (a === undefined || b.v > a.v ? b : a),
    undefined,
  );
  if (settled && settled.role === "motor") {
    const name = settled.positions[state[settled.id]!]!.name;
    return name.startsWith("running")
      ? "it runs"
      : name === "hums"
        ? "it hums"
        : most && most.v > 1 && engine.has(energised(engine, most.id), state)
          ? `it has ${volts(most.v)}`
          : "it stands still";
  }
  if (settled) return "its way is open";
  if (!most) return "it does otherwise";
  if (engine.has(engine.when(most.id, FULL), state)) return `it ${doing(machine.loads[most.id]!)}`;
  return `it gets ${volts(most.v)}`;
}
