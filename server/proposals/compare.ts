/** Base machine and proposal to verdict: both analysed, all checks run on both. */
import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { runChecks } from "../checks/run-checks.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { Locate } from "../machine/index.ts";
import type { Machine } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { EngineMemory, engineForChanged, makeExactEngine } from "../states/exact/exact-engine.ts";
import { applyProposal, type Proposed } from "./apply.ts";
import { type CauseQuestion, type Causes, causesOf, causeWords } from "./causes.ts";
import type { ComparisonMemory } from "./comparison-memory.ts";
import { type Difference, differenceOf, type Side } from "./difference.ts";
import { type Fit, fitsOf } from "./fit.ts";
import { type Verdict, verdictOf } from "./verdict.ts";

/** Pieces that the analysis of a machine changed once more by a check (lost neutral) may work out. */
const LATER_BUDGET = 5_000;

export interface Comparison {
  /** Why the proposal could not be done; then there is no verdict. */
  readonly findings: readonly Finding[];
  readonly machine?: Machine;
  readonly difference?: Difference;
  readonly verdict?: Verdict;
  /** Of each part that is replaced: how the new one fits. */
  readonly fits?: readonly Fit[];
  /** Of the base and of the changed machine, for whoever shows states of both. */
  readonly engines?: readonly [Engine, Engine];
  /** Which edits bring each danger and trouble. */
  readonly causes?: Causes;
  /** New name by old name of a part. */
  readonly renames?: ReadonlyMap<string, string>;
}

export function* compareProposal(
  base: Machine,
  files: ReadonlyMap<string, Tree>,
  proposed: Proposed,
  /** The base as it was analysed already, with all its findings; left out: it is done here. */
  side?: Side,
  locate?: Locate,
  brought?: CauseQuestion["brought"],
  memory?: ComparisonMemory,
): Generator<void, Comparison> {
  const applied = applyProposal(base, files, proposed, locate);
  const { machine, findings, renames } = applied;
  if (!machine) return { findings };
  const before = side ?? (yield* sideOf(base));
  const after = yield* sideOf(machine, memory?.whole);
  const difference = yield* differenceOf(before, after, renames);
  const fits = fitsOf(before.engine, machine, proposed.statement, renames);
  const engines = [before.engine, after.engine] as const;
  const verdict = verdictOf(difference);
  const question: CauseQuestion = { base, files, proposed, locate, before, lines: verdict.lines, brought, memory };
  const causes = yield* causesOf(question, applied);
  const lines = verdict.lines.map((line) => {
    const by = line.key === undefined ? undefined : causeWords(causes.get(line.key) ?? [], applied);
    return by === undefined ? line : { ...line, by };
  });
  return { findings, machine, difference, fits, verdict: { ...verdict, lines }, engines, renames, causes };
}

export function* compareMachines(
  base: Machine,
  changed: Machine,
  renames?: ReadonlyMap<string, string>,
): Generator<void, Difference> {
  return yield* differenceOf(yield* sideOf(base), yield* sideOf(changed), renames);
}

/** A machine with all its findings. */
export function* sideOf(machine: Machine, memory = new EngineMemory()): Generator<void, Side> {
  const engine = yield* makeExactEngine(buildCircuit(machine), { memory });
  const analyse = (other: Machine) => engineForChanged(engine, other, { memory, budget: LATER_BUDGET });
  return { engine, findings: yield* runChecks(engine, { analyse }) };
}
