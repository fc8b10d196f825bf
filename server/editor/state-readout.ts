/** One state as plain data: controls as a person would touch them, what each load gets, what each contact carries. */
import type { ChosenState, ContactReadout, ControlReadout, LoadReadout } from "../base/chosen-state.ts";
import { stepsTo } from "../checks/ask.ts";
import { fedBy } from "../checks/fed-by.ts";
import { judge } from "../checks/rating.ts";
import { doing } from "../checks/words.ts";
import { workingVoltsOf } from "../checks/working-volts.ts";
import { loadImpedance } from "../circuit/arrange.ts";
import type { Solution } from "../circuit/circuit.ts";
import { voltsBetween } from "../circuit/measure.ts";
import { describeState } from "../machine/index.ts";
import type {
  Contact,
  ContactId,
  Control,
  Load,
  LoadId,
  Machine,
  MachineState,
  TerminalId,
} from "../machine/machine.ts";
import type { Engine, LoadClass } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { namedState, wattsOf } from "./chosen-state.ts";

/** Less than a clamp or a tester shows, A. */
const leastAmps = 1e-4;
/** Less than a meter shows across a closed contact, V. */
const leastVolts = 1e-3;

export type StateReadout = Omit<ChosenState, "machine" | "index" | "machines" | "version" | "ready" | "refused">;

export const nothingYet: StateReadout = {
  words: "",
  names: {},
  path: [],
  controls: [],
  loads: [],
  contacts: [],
  legs: [],
  watts: "",
};

/** Numbers of one state, each worked out when it is asked for: a rating takes several solutions of the circuit. */
export interface StateNumbers {
  /** `TM in timed 1, DM running`. */
  readonly words: string;
  load(id: LoadId): LoadReadout;
  contact(id: ContactId): ContactReadout;
  /** `120 V to N, 240 V to L2`; what a leg delivers. */
  terminal(id: TerminalId): string;
  solution(): Solution;
}

export function stateNumbers(engine: Engine, state: MachineState): StateNumbers {
  const { machine } = engine.circuit;
  // Of most loads the engine knows what they get; the solution is worked out when something else is asked for.
  let known: Solution | undefined;
  const solution = () => (known ??= engine.solve(state));
  return {
    words: describeState(machine, state),
    load: (id) => loadReadout(engine, machine.loads[id]!, state, solution),
    contact: (id) => contactReadout(engine, machine.contacts[id]!, state, solution()),
    terminal: (id) => terminalNow(solution(), id),
    solution,
  };
}

export function stateReadout(engine: Engine, state: MachineState): StateReadout {
  const { machine } = engine.circuit;
  const numbers = stateNumbers(engine, state);
  const solution = numbers.solution();
  const program = machine.programs[0];
  const shorted = solution.shorts.length > 0;
  return {
    words: numbers.words,
    path: stepsTo(engine, state) ?? [],
    names: namedState(machine, state),
    ...(shorted ? { remark: "The supply is shorted in this state: the breaker opens. No currents are told." } : {}),
    controls: machine.controls.map((control) => controlReadout(machine, control, state)),
    loads: machine.loads.map(({ id }) => numbers.load(id)),
    contacts: machine.contacts.map(({ id }) => numbers.contact(id)),
    legs: machine.supply.legs.map(({ name }, leg) => ({
      name,
      text: said(Math.hypot(solution.legAmps.re[leg]!, solution.legAmps.im[leg]!), amount.amps),
    })),
    watts: shorted ? "not told" : amount.watts(wattsOf(solution)),
    ...(program ? { program: machine.controls[program.control]!.name } : {}),
  };
}

function terminalNow(solution: Solution, id: TerminalId): string {
  const { circuit, fed, shorts, legAmps } = solution;
  const { legs } = circuit.machine.supply;
  const own = legs.findIndex(({ terminal }) => terminal === id);
  if (own >= 0) return said(Math.hypot(legAmps.re[own]!, legAmps.im[own]!), amount.amps);
  if (shorts.length > 0) return "not told: the supply is shorted";
  if (fed[circuit.jointOf[id]!] !== 1) return "tied to nothing: a meter may show stray volts";
  const earth = legs.some(({ role }) => role === "neutral") ? "neutral" : "protective";
  const others = [...legs.filter(({ role }) => role === earth), ...legs.filter(({ role }) => role === "live")];
  const volts = others.map(({ terminal, name }) => {
    const { re, im } = voltsBetween(solution, id, terminal);
    return { size: Math.hypot(re, im), name };
  });
  // That nothing is between the point and the live leg that it stands on goes without saying.
  const told = volts.filter(({ size, name }) => name === others[0]?.name || !(size < leastVolts));
  return told.map(({ size, name }) => `${said(size, amount.volts)} to ${name}`).join(", ");
}

function said(value: number, say: (value: number) => string): string {
  return Number.isNaN(value) ? "not told" : say(value);
}

function controlReadout(machine: Machine, control: Control, state: MachineState): ControlReadout {
  const { label } = machine.parts[control.part]!;
  return {
    name: control.name,
    ...(label === undefined ? {} : { label }),
    by: control.settled ? "circuit" : byMachine(control) ? "machine" : "hand",
    form: control.role === "push" ? "push" : control.positions.length > 4 ? "dial" : "switch",
    positions: control.positions.map(({ name, group }) => ({ name, ...(group === undefined ? {} : { group }) })),
    at: state[control.id]!,
    rest: control.rest,
  };
}

/** Heat, water or time moves it, never a hand. */
function byMachine({ role, changes }: Control): boolean {
  if (["thermal", "level", "cycle", "delay", "heat-memory", "fast-cam"].includes(role)) return true;
  return changes !== undefined && changes.length > 0 && changes.every(({ byHand }) => byHand !== true);
}

/** Volts, A and W of a load in a state; NaN where they are not told. */
function loadNumbers(engine: Engine, load: Load, state: MachineState, solution: () => Solution) {
  const { id } = load;
  const read = engine.voltsIn?.(id, state);
  const z = loadImpedance(load, state);
  const square = z ? z.re ** 2 + z.im ** 2 : 0;
  if (read && square > 0) {
    const volts = Math.hypot(read.re, read.im);
    return { volts, amps: volts / Math.sqrt(square), watts: (volts ** 2 * z!.re) / square };
  }
  const { loadVolts, loadAmps, loadWatts } = solution();
  return {
    volts: Math.hypot(loadVolts.re[id]!, loadVolts.im[id]!),
    amps: Math.hypot(loadAmps.re[id]!, loadAmps.im[id]!),
    watts: loadWatts[id]!,
  };
}

/** Those that most loads are in most of the time first. */
const classes: readonly LoadClass[] = ["works", "off", "weak", "over"];

function loadReadout(engine: Engine, load: Load, state: MachineState, solution: () => Solution): LoadReadout {
  const { label } = engine.circuit.machine.parts[load.part]!;
  const { volts, amps, watts } = loadNumbers(engine, load, state, solution);
  const told = !Number.isNaN(volts);
  const name = { name: load.name, ...(label === undefined ? {} : { label }), verb: doing(load) };
  if (!told) return { ...name, class: "untold", text: "not told as a number" };
  const found = classes.find((one) => engine.has(engine.when(load.id, [one]), state)) ?? "off";
  const known = load.known && !Number.isNaN(amps);
  const words =
    found === "off" && (!known || amps < leastAmps)
      ? ""
      : [amount.volts(volts), ...(known ? [amount.amps(amps), amount.watts(watts)] : ["amps not known"])].join("  ");
  return { ...name, class: found, volts, ...(known ? { amps, watts } : {}), text: words };
}

function contactReadout(engine: Engine, contact: Contact, state: MachineState, solution: Solution): ContactReadout {
  const { machine } = engine.circuit;
  const part = machine.parts[contact.part]!;
  const closed = contact.closed.some((clause) => clause.every((one) => one.positions[state[one.control]!] === 1));
  const amps = Math.hypot(solution.contactAmps.re[contact.id]!, solution.contactAmps.im[contact.id]!);
  const base = {
    name: contact.name,
    ...(part.label !== undefined && part.contacts.length === 1 ? { label: part.label } : {}),
    closed,
  };
  if (Number.isNaN(amps)) return { ...base, text: "not told" };
  if (amps < leastAmps) return { ...base, amps, text: "" };
  const rated =
    contact.ratings.length === 0
      ? undefined
      : judge(
          contact.ratings,
          workingVoltsOf(engine, contact, { value: amps, state }),
          fedBy(engine, contact.id, state).main,
          "carry",
          amps,
        );
  const limit = rated && (rated.verdict === "within" || rated.verdict === "over") ? rated : undefined;
  return {
    ...base,
    amps,
    text: amount.amps(amps),
    ...(limit ? { share: limit.share, limit: limit.limit.words } : {}),
  };
}
