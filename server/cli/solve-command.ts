/** `camleaf solve FILE --when "TM in timed, DOOR shut"`: volts, amps and watts of every part and contact in one state. */
import { parse } from "../../grammar/parse.ts";
import type { ExpectStatement } from "../../grammar/tree.ts";
import { stepsTo } from "../checks/ask.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { contactAmps, loadReading } from "../circuit/measure.ts";
import { amount } from "../editor/amounts.ts";
import type { MachineView } from "../editor/view.ts";
import { type Condition, describeState, resolveCondition } from "../machine/index.ts";
import type { Machine, MachineState } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { table } from "./paint.ts";

/** Exit code: 0 when solved, 1 when no such state can be reached, 2 when the file or the condition cannot be read. */
export async function solve(file: string, when: string, asData: boolean, output: Output): Promise<number> {
  let views: readonly MachineView[];
  try {
    views = (await analyseFile(file)).snapshot.machines;
  } catch (error) {
    if (!(error instanceof CannotRead)) throw error;
    output.complaint(error.message);
    return 2;
  }
  if (views.length === 0) {
    output.complaint(`${file}: no machine is written in it`);
    return 2;
  }
  let exit = 0;
  for (const { machine, engine } of views) {
    const condition = conditionOf(machine, when);
    if (typeof condition === "string") {
      output.complaint(condition);
      return 2;
    }
    const state = engine?.witness(engine.and(engine.all(), engine.where(condition)));
    if (!engine || !state) {
      output.complaint(`${machine.label}: no state that the machine can reach has ${when === "" ? "anything" : when}.`);
      exit = 1;
      continue;
    }
    if (asData) output.line(JSON.stringify(solvedData(machine, engine, state), undefined, 2));
    else for (const line of solvedTable(machine, engine, state, output)) output.line(line);
  }
  return exit;
}

/** The condition, or a sentence that says what is wrong with it. */
export function conditionOf(machine: Machine, when: string): Condition | string {
  if (when.trim() === "") return [[]];
  const tree = parse(`machine "x"\nexpect X off when ${when}\n`);
  const error = tree.errors[0];
  const statement = tree.statements.find((s): s is ExpectStatement => s.statement === "expect");
  if (error || !statement?.when)
    return `${when}: ${error ? `${error.what} ${error.advice}` : "a condition was expected"}`;
  const condition = resolveCondition(machine, statement.when);
  const asked = statement.when.clauses.flat().length;
  const understood = condition.flat().length;
  if (understood < asked)
    return `${when}: a name or position in it is not known to ${machine.label}. Its controls: ${machine.controls
      .map(({ name, positions }) => `${name} (${[...new Set(positions.map((p) => p.group ?? p.name))].join(", ")})`)
      .join("; ")}.`;
  return condition;
}

function solvedTable(machine: Machine, engine: Engine, state: MachineState, { paint }: Output): string[] {
  const solution = engine.solve(state);
  const lines = [paint.strong(machine.label), `In the state: ${describeState(machine, state)}`];
  const steps = stepsTo(engine, state) ?? [];
  if (steps.length > 0) lines.push(`How to get there: ${steps.join("; ")}`);
  if (solution.shorts.length > 0)
    lines.push(paint.error("Legs of the supply are tied together in this state: no currents are told."));
  lines.push("");
  const rows = machine.loads.map(({ id, name, known }) => {
    const reading = loadReading(solution, id);
    const told = (value: number, say: (v: number) => string) => (Number.isFinite(value) ? say(value) : "not solved");
    return [
      name,
      told(reading.volts, amount.volts),
      known ? told(reading.amps, amount.amps) : "not known",
      known ? told(reading.watts, amount.watts) : "not known",
      reading.powerFactor === undefined || !Number.isFinite(reading.powerFactor)
        ? ""
        : `pf ${reading.powerFactor.toFixed(2)}`,
    ];
  });
  lines.push(...table([["load", "volts", "amps", "watts", ""], ...rows]), "");
  const contacts = machine.contacts.map(({ id, name, closed }) => {
    const isClosed = conditionHolds(closed, state);
    const amps = contactAmps(solution, id);
    return [
      name,
      isClosed ? "closed" : "open",
      isClosed ? (Number.isFinite(amps) ? amount.amps(amps) : "not told") : "",
    ];
  });
  lines.push(...table([["contact", "", "carries"], ...contacts]));
  return lines;
}

function solvedData(machine: Machine, engine: Engine, state: MachineState): unknown {
  const solution = engine.solve(state);
  return {
    machine: machine.label,
    state: Object.fromEntries(machine.controls.map(({ name, positions, id }) => [name, positions[state[id]!]!.name])),
    steps: stepsTo(engine, state),
    loads: machine.loads.map(({ id, name, known }) => {
      const { volts, amps, watts, powerFactor } = loadReading(solution, id);
      return known ? { name, volts, amps, watts, powerFactor } : { name, volts };
    }),
    contacts: machine.contacts.map(({ id, name, closed }) => ({
      name,
      closed: conditionHolds(closed, state),
      amps: contactAmps(solution, id),
    })),
  };
}
