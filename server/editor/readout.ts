/** What there is to say about one thing of the machine, as plain data: hover shows it as a small page, the command line as text. */

import { shownStateText } from "../base/finding.ts";
import { isThermalProtector, readableCondition, senses, shownPlain } from "../checks/ask.ts";
import { BySets } from "../checks/by-sets.ts";
import { isProved, mostOf } from "../checks/unproved.ts";
import { doing, list, partName } from "../checks/words.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { continuityWays, plainest, type Way } from "../circuit/paths.ts";
import { woundKinds } from "../machine/index.ts";
import type { Literal, Load, LoadId, Machine, MachineState } from "../machine/machine.ts";
import { loadTest, type PartTest } from "../meter/part-tests.ts";
import type { Engine, Extremes, Region } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { inputFacts, plainWords } from "./condition-words.ts";
import type { MachineView } from "./view.ts";

/** One line of a readout: `carries` - `22.5 A in TM in timed 1, DM running`. */
export interface Fact {
  readonly name: string;
  readonly text: string;
}

export interface Readout {
  /** `HT`, `TM.heat`. */
  readonly name: string;
  /** `heater`, `contact of the program timer`. */
  readonly what: string;
  readonly label?: string;
  readonly facts: readonly Fact[];
}

/** Ways of the current that a readout lists. */
const mostPaths = 2;

/** Said where the every-state analysis is not done yet. */
export const stillWorking: Fact = { name: "states", text: "still being worked out" };

/** The state in the words of the language, resting controls left out. */
export function stateWords(engine: Engine, state: MachineState): string {
  return shownStateText(shownPlain(engine.circuit.machine, state));
}

/** `22.5 A`, or `2.34 A to 22.5 A` with the states of both ends. */
export function rangeFacts(
  engine: Engine,
  name: string,
  extremes: Extremes,
  say: (value: number) => string,
  withStates = true,
): Fact[] {
  const { smallest, largest } = extremes;
  if (!largest || !Number.isFinite(largest.value)) return [];
  const top = say(largest.value);
  const bottom = smallest && Number.isFinite(smallest.value) ? say(smallest.value) : top;
  const bound = mostOf(extremes);
  const limits = isProved(extremes)
    ? extremes.exact
      ? ""
      : ", or less (the search was cut short)"
    : `, ${Number.isFinite(bound) ? `not above ${say(bound)}` : "or more"} (the search was cut short)`;
  if (top === bottom) return [{ name, text: top + limits }];
  if (!withStates) return [{ name, text: `${bottom} to ${top}${limits}` }];
  return [
    { name, text: `${bottom} to ${top}${limits}` },
    { name: `most ${name}`, text: stateWords(engine, largest.state) },
    { name: `least ${name}`, text: stateWords(engine, smallest!.state) },
  ];
}

/** A heater, winding, coil, lamp: what it is, when it is energised, and what it then gets. */
export function loadReadout(view: MachineView, id: LoadId): Readout {
  const { machine, engine } = view;
  const load = machine.loads[id]!;
  const part = machine.parts[load.part]!;
  const facts: Fact[] = [];
  const plate = plateOf(machine, load);
  if (plate !== "") facts.push({ name: "plate", text: plate });
  if (!engine) facts.push(stillWorking);
  else facts.push(...energisedFacts(engine, load));
  facts.push(...testFacts(view, loadTest(view.circuit, id)));
  return { name: load.name, what: kindWords(load), ...(part.label === undefined ? {} : { label: part.label }), facts };
}

function plateOf(machine: Machine, load: Load): string {
  const part = machine.parts[load.part]!;
  if (part.loads.length === 1 && part.plate.length > 0) return part.plate.join(" ");
  const own = [
    load.ratedWatts === undefined ? "" : amount.watts(load.ratedWatts),
    load.ratedVolts === undefined ? "" : amount.volts(load.ratedVolts),
    load.ratedAmps === undefined ? "" : amount.amps(load.ratedAmps),
  ];
  return own.filter((text) => text !== "").join(" ");
}

/** What is said of a load's sets of states, and of its ways in single states, by what it is. Of loads no amount, so it outlives typed watts. */
interface SetWords {
  /** When it works, gets volts or is weak. */
  readonly when: Map<string, readonly Fact[]>;
  /** A state of each way of the condition under which it works, as far as one was asked for. */
  readonly reasons: Map<LoadId, readonly Reason[]>;
  /** Ways of the current in a state, plainest ones only. */
  readonly ways: Map<string, readonly string[]>;
}

interface Reason {
  readonly way: readonly Literal[];
  state?: MachineState | undefined;
  asked: boolean;
}

/** States whose ways are kept of one machine. */
const mostStates = 300;

const setWords = new BySets<SetWords>(() => ({ when: new Map(), reasons: new Map(), ways: new Map() }));

/** `works when ...` and what to set for it. */
function whenFacts(
  engine: Engine,
  words: SetWords | undefined,
  name: string,
  load: Load,
  on: Region,
  prefix = "",
): readonly Fact[] {
  const key = `${load.id} ${name}`;
  const known = words?.when.get(key);
  if (known) return known;
  const facts = [{ name, text: plainWords(engine, on) }, ...inputFacts(engine, on, prefix)];
  words?.when.set(key, facts);
  return facts;
}

function energisedFacts(engine: Engine, load: Load): Fact[] {
  const facts: Fact[] = [];
  const words = setWords.of(engine);
  if (load.kind === "capacitor") {
    // Its plate volts are a limit, not what it is made to be fed with: below them it works as well as at them.
    const on = engine.when(load.id, ["weak", "works", "over"]);
    if (engine.isEmpty(on)) return [{ name: "gets volts", text: "never" }];
    return [...whenFacts(engine, words, "gets volts when", load, on), ...numbers(engine, load, on, "")];
  }
  const full = engine.when(load.id, ["works", "over"]);
  const weak = engine.when(load.id, ["weak"]);
  const verb = doing(load);
  if (engine.isEmpty(full))
    facts.push({ name: verb, text: load.kind === "start-winding" ? "only while the motor starts" : "never" });
  else facts.push(...whenFacts(engine, words, `${verb} when`, load, full));
  if (!engine.isEmpty(full)) facts.push(...pathFacts(engine, words, load, full), ...numbers(engine, load, full, ""));
  if (!engine.isEmpty(weak)) {
    facts.push(...whenFacts(engine, words, "weak when", load, weak, "weak "));
    facts.push(...numbers(engine, load, weak, "weak "));
  }
  if (load.inrush && load.known && load.ratedVolts) {
    const first = load.ratedVolts / Math.hypot(load.inrush.re, load.inrush.im);
    if (Number.isFinite(first))
      facts.push({
        name: "first moment",
        text: `${amount.amps(first)} at ${amount.volts(load.ratedVolts)}${load.inrushSource ? ` (${load.inrushSource})` : ""}`,
      });
  }
  if (load.needsProtector) facts.push(protectorFact(engine, load, engine.or(full, weak)));
  return facts;
}

/** The ways of the current, leg to leg: first in the state in which the load draws most, then in others that hold for other reasons. */
function pathFacts(engine: Engine, words: SetWords | undefined, load: Load, care: Region): Fact[] {
  const found = new Set<string>();
  for (const state of statesOf(engine, words, load, care)) {
    for (const way of waysIn(engine, words, load, state)) found.add(way);
    if (found.size > mostPaths) break;
  }
  return [...found].slice(0, mostPaths).map((words, index) => ({
    name: index === 0 ? "fed from" : "also from",
    text: `${words}${index === mostPaths - 1 && found.size > mostPaths ? "; other ways besides" : ""}`,
  }));
}

/** What leads to the load in one state: which contacts are closed and which loads conduct, no amount. */
function waysIn({ circuit }: Engine, words: SetWords | undefined, load: Load, state: MachineState): readonly string[] {
  const key = `${load.id} ${state.join()}`;
  const known = words?.ways.get(key);
  if (known) return known;
  const { ways } = continuityWays(circuit, state, load.id, { paths: mostPaths + 1 });
  const told = plainest(ways).map((way) => wayWords(circuit.machine, way));
  if (words && words.ways.size >= mostStates) words.ways.clear();
  words?.ways.set(key, told);
  return told;
}

/** The state in which the load draws most, and one of each way of the condition that does not hold there. */
function* statesOf(engine: Engine, words: SetWords | undefined, load: Load, care: Region): Generator<MachineState> {
  const most = engine.extreme({ of: "load-amps", load: load.id }, care).largest?.state ?? engine.witness(care);
  if (!most) return;
  yield most;
  let reasons = words?.reasons.get(load.id);
  if (!reasons) {
    reasons = (readableCondition(engine, care) ?? []).map((way) => ({ way, asked: false }));
    words?.reasons.set(load.id, reasons);
  }
  for (const reason of reasons) {
    if (conditionHolds([reason.way], most)) continue;
    if (!reason.asked) {
      reason.state = engine.witness(engine.and(care, engine.where([reason.way])));
      reason.asked = true;
    }
    if (reason.state) yield reason.state;
  }
}

function wayWords(machine: Machine, { from, to, edges }: Way): string {
  const { contacts, loads, parts, transformers } = machine;
  const { legs } = machine.supply;
  const through = edges.map(({ kind, id }) =>
    kind === "winding" ? parts[transformers[id >> 1]!.part]!.name : (kind === "contact" ? contacts : loads)[id]!.name,
  );
  return `${legs[from]!.name} through ${through.join(", ")} to ${legs[to]!.name}`;
}

function numbers(engine: Engine, load: Load, care: Region, prefix: string): Fact[] {
  const of = (quantity: "load-amps" | "load-volts" | "load-watts") =>
    engine.extreme({ of: quantity, load: load.id }, care);
  const volts = rangeFacts(engine, `${prefix}volts`, of("load-volts"), amount.volts);
  if (!load.known)
    return [
      ...volts,
      {
        name: `${prefix}amps`,
        text: `not known (the text gives no ${woundKinds.has(load.kind) ? "watts or amps" : "watts, amps or ohms"})`,
      },
    ];
  return [
    ...rangeFacts(engine, `${prefix}amps`, of("load-amps"), amount.amps, false),
    ...volts,
    ...rangeFacts(engine, `${prefix}watts`, of("load-watts"), amount.watts, false),
  ];
}

/** Devices that sense the load and are in series with it in every state in which it is energised. */
function protectorFact(engine: Engine, load: Load, on: Region): Fact {
  const { machine } = engine.circuit;
  const always = machine.contacts.filter(
    (contact) =>
      isThermalProtector(contact) &&
      senses(machine, contact, load) &&
      engine.isEmpty(engine.and(on, engine.not(engine.inSeries(contact.id, load.id)))),
  );
  const names = always.map(({ part }) => partName(machine.parts[part]!));
  const text = names.length > 0 ? list([...new Set(names)]) : "nothing that senses it in every state";
  return { name: "protected by", text };
}

/** How to test it at the bench, unplugged: `10.5 ohm (9.9 to 11.9 ohm), between HT.1 and HT.2`. */
export function testFacts({ machine }: MachineView, test: PartTest): Fact[] {
  const name = (terminal: number): string => machine.terminals[terminal]!.fullName;
  const lift = test.lift.length === 0 ? "" : `, ${test.lift.map(name).join(" and ")} lifted`;
  const between = `between ${name(test.from)} and ${name(test.to)}${lift}`;
  // A closed contact shorts whatever lies beside it, so that nothing is told of its leads.
  if (test.switched) return [{ name: "unplugged", text: `${switchedWords(test.switched)}, ${between}` }];
  return [
    { name: "unplugged", text: `${test.good}${test.good.startsWith("not known") ? ";" : ","} ${between}` },
    ...(test.lift.length > 0 ? [{ name: "with its leads on", text: test.inPlace }] : []),
  ];
}

/** `below 0.5 ohm with DOOR open, open at rest`. */
function switchedWords({ closed, closedWith, openWith }: NonNullable<PartTest["switched"]>): string {
  const at = (setting: string): string => (setting === "" ? "at rest" : `with ${setting}`);
  const open = openWith === undefined ? "" : `open ${at(openWith)}`;
  if (closedWith === undefined) return `${open || "open"} (what closes it needs power)`;
  return [`${closed} ${at(closedWith)}`, open].filter((text) => text !== "").join(", ");
}

function kindWords(load: Load): string {
  switch (load.kind) {
    case "winding":
      return "motor winding";
    case "start-winding":
      return "start winding";
    case "drive":
      return "timer motor";
    case "valve":
      return "valve coil";
    case "board":
      return "board's own supply";
    default:
      return load.kind.replace("-", " ");
  }
}
