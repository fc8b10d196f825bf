/** Text -> findings of the checks, for tests. */
import { parse } from "../../grammar/parse.ts";
import type { Finding } from "../../server/base/finding.ts";
import { toEnd } from "../../server/base/to-end.ts";
import { type CheckOptions, runChecks } from "../../server/checks/run-checks.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Engine } from "../../server/states/engine.ts";
import { engineForChanged, makeExactEngine } from "../../server/states/exact/exact-engine.ts";

export { toEnd };

export function* analyse(machine: Machine): Generator<void, Engine> {
  return yield* makeExactEngine(buildCircuit(machine));
}

/** Machines of a text; `others` are the files that its `use` lines name. */
export function machinesOf(text: string, others: Readonly<Record<string, string>> = {}): readonly Machine[] {
  const files = new Map(Object.entries({ ...others, "bench.camleaf": text }).map(([name, t]) => [name, parse(t)]));
  return resolveMachines(files, "bench.camleaf");
}

/** Findings of the checks for the first machine, later phase included unless told otherwise. */
export function findingsOf(machine: Machine, options: CheckOptions = { analyse }): Finding[] {
  const engine = toEnd(analyse(machine));
  // As the service does it: changed machines are analysed from the engine of the machine as it is.
  const own = options.analyse === analyse && { analyse: (changed: Machine) => engineForChanged(engine, changed) };
  return toEnd(runChecks(engine, { ...options, ...own }));
}
