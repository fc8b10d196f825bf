/** `camleaf readings FILE`: what a meter should read, of a part, between two points, or all over a state or program step. */
import type { MachineView } from "../editor/view.ts";
import type { Condition } from "../machine/index.ts";
import type { Machine, MachineState } from "../machine/machine.ts";
import { pointInText } from "../meter/points.ts";
import { partReadings, type ReadingLine, readingsBetween, stateReadings } from "../meter/readings.ts";
import { cautions } from "../writeup/cautions.ts";
import { analyseFile, CannotRead } from "./analyse-file.ts";
import type { Output } from "./check-command.ts";
import { folded, table } from "./paint.ts";
import { conditionOf } from "./solve-command.ts";

export interface ReadingsOptions {
  readonly part?: string;
  readonly between?: readonly string[];
  readonly when?: string;
  readonly step?: string;
  readonly json?: boolean;
}

class Refused extends Error {
  constructor(
    message: string,
    readonly exit: 1 | 2,
  ) {
    super(message);
  }
}

/** Exit code: 0 when told, 1 when no such state can be reached, 2 when something cannot be read. */
export async function readings(file: string, options: ReadingsOptions, output: Output): Promise<number> {
  try {
    const { machines } = (await analyseFile(file)).snapshot;
    if (machines.length === 0) throw new Refused(`${file}: no machine is written in it`, 2);
    const told = machines.map((view) => ({ machine: view.machine.label, ...machineReadings(view, options) }));
    if (options.json) output.line(JSON.stringify(told, undefined, 2));
    else for (const one of told) print(one, output);
    return 0;
  } catch (error) {
    if (error instanceof Refused) {
      output.complaint(error.message);
      return error.exit;
    }
    if (!(error instanceof CannotRead)) throw error;
    output.complaint(error.message);
    return 2;
  }
}

interface Told {
  readonly state?: string;
  readonly blocks: readonly { readonly name: string; readonly lines: readonly ReadingLine[] }[];
  readonly rows?: readonly (readonly string[])[];
}

function machineReadings(view: MachineView, options: ReadingsOptions): Told {
  const { machine, circuit } = view;
  if (options.between) {
    const [a, b] = twoPoints(machine, options.between);
    const state = stateFor(view, options);
    const { state: words } = stateReadings(circuit, state);
    const name = `${machine.terminals[a]!.fullName} to ${machine.terminals[b]!.fullName}`;
    return { state: words, blocks: [{ name, lines: readingsBetween(circuit, state, a, b) }] };
  }
  if (options.part === undefined && (options.when !== undefined || options.step !== undefined)) {
    const { state, rows } = stateReadings(circuit, stateFor(view, options));
    return { state, blocks: [], rows: rows.map((row) => [row.name, row.from, row.to, row.reads]) };
  }
  const parts = machine.parts.filter(({ name }) => options.part === undefined || name === options.part);
  if (parts.length === 0) throw new Refused(`${machine.label}: nothing is called ${options.part}`, 2);
  return { blocks: parts.flatMap(({ id }) => partReadings(circuit, id)) };
}

function twoPoints(machine: Machine, names: readonly string[]): [number, number] {
  const found = names.flatMap((name) => {
    const point = pointInText(machine, name);
    if (!point) throw new Refused(`${machine.label}: nothing is called ${name}`, 2);
    return point.terminals;
  });
  if (found.length !== 2) throw new Refused("Name two points, or one part with two terminals: --between HT.1 HT.2", 2);
  return [found[0]!, found[1]!];
}

/** Of the states that the words allow, one that works hardest: that is the one a live reading is taken in. */
function stateFor({ machine, engine }: MachineView, { when = "", step }: ReadingsOptions): MachineState {
  if (!engine) throw new Refused(`${machine.label}: its states could not be worked out`, 2);
  const wanted: Condition[] = [];
  const add = (text: string): void => {
    const condition = conditionOf(machine, text);
    if (typeof condition === "string") throw new Refused(condition, 2);
    wanted.push(condition);
  };
  add(when);
  if (step !== undefined) {
    const program = machine.programs[0];
    if (!program) throw new Refused(`${machine.label}: it has no timer program`, 2);
    add(`${machine.controls[program.control]!.name} in ${step}`);
  }
  const region = wanted.reduce((all, one) => engine.and(all, engine.where(one)), engine.all());
  const on = engine.and(region, engine.where([[{ control: machine.supply.control, positions: Uint8Array.of(1, 0) }]]));
  const care = engine.isEmpty(on) ? region : on;
  const first = engine.witness(care);
  if (!first)
    throw new Refused(
      `${machine.label}: no state that the machine can reach has ${[when, step].filter(Boolean).join(", ")}.`,
      1,
    );
  if (when.trim() === "" && step === undefined) return first;
  let best = { state: first, watts: -1 };
  for (const load of machine.loads) {
    const state = engine.extreme({ of: "load-watts", load: load.id }, care).largest?.state;
    if (!state) continue;
    const watts = engine.solve(state).loadWatts.reduce((sum, each) => sum + (each || 0), 0);
    if (watts > best.watts) best = { state, watts };
  }
  return best.state;
}

function print({ machine, state, blocks, rows }: Told & { machine: string }, { line, paint }: Output): void {
  line(paint.strong(machine));
  if (state !== undefined) line(`In the state: ${state}`);
  line("");
  for (const { name, lines } of blocks) {
    line(paint.strong(name));
    const width = Math.max(...lines.map((each) => each.name.length));
    for (const each of lines) {
      const [first = "", ...rest] = folded(each.text, "", 96 - width);
      line(`  ${each.name.padEnd(width)}  ${first}`);
      for (const more of rest) line(`  ${" ".repeat(width)}  ${more}`);
    }
    line("");
  }
  if (rows) for (const each of table([["", "from", "to", "reads"], ...rows])) line(each);
  for (const caution of cautions) line(paint.faint(`  ${caution}`));
}
