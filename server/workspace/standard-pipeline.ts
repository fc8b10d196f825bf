import { parse } from "../../grammar/parse.ts";
import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { runChecks } from "../checks/run-checks.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { MachineView } from "../editor/view.ts";
import { type Machine, resolveFile } from "../machine/index.ts";
import type { Engine } from "../states/engine.ts";
import { EngineMemory, makeExactEngine } from "../states/exact/exact-engine.ts";
import { describeMachine, type Kept, KeptFindings } from "./kept-findings.ts";
import { type Pipeline, type Source, usedPaths } from "./pipeline.ts";

/** Pieces that the analysis of a changed machine (lost neutral, other supply volts) may work out. */
const laterBudget = 5_000;
/** Files whose engines are remembered: an edit then costs little. */
const mostRemembered = 12;
/** Earlier versions of machines whose findings are kept, so that undoing costs nothing. */
const mostUndone = 4;

/** What is remembered of a file from one version of its text to the next. */
class FileMemory {
  readonly engines: EngineMemory[] = [];
  readonly main = new KeptFindings();
  readonly later = new KeptFindings();
}

/** The rooms in their order: parse, resolve names, engine, checks. */
export function makeStandardPipeline(): Pipeline {
  const memories = new Map<string, FileMemory>();
  const descriptions = new WeakMap<Machine, string>();

  const memoryOf = (file: string): FileMemory => {
    const known = memories.get(file) ?? new FileMemory();
    memories.delete(file); // the latest one stands last
    memories.set(file, known);
    const oldest = memories.size > mostRemembered ? memories.keys().next().value : undefined;
    if (oldest !== undefined) memories.delete(oldest);
    return known;
  };

  /** Findings from an earlier version of the text where the machine is the same, else anew. */
  function* keptOr(kept: KeptFindings, machine: Machine, anew: Generator<void, Kept>): Generator<void, Kept> {
    const description = descriptions.get(machine) ?? describeMachine(machine);
    descriptions.set(machine, description);
    const known = kept.find(description, machine);
    if (known) return known;
    const found = yield* anew;
    kept.keep(description, machine, found);
    return found;
  }

  return {
    parse,

    name(source) {
      const files = filesOf(source);
      const { machines, findings, mentions } = resolveFile(files, source.file);
      return {
        files,
        mentions,
        machines: machines.map((machine) => ({ machine, circuit: buildCircuit(machine) })),
        findings: [...findings, ...machines.flatMap((machine) => machine.findings)],
      };
    },

    *analyse({ file }, named) {
      const memory = memoryOf(file);
      const machines: MachineView[] = [];
      const findings: Finding[] = [];
      const missing: string[] = [];
      for (const [index, { machine, circuit }] of named.machines.entries()) {
        const remembered = (memory.engines[index] ??= new EngineMemory());
        const engine = yield* makeExactEngine(circuit, { memory: remembered });
        machines.push({ machine, circuit, engine });
        const found = yield* keptOr(memory.main, machine, mainChecks(engine));
        findings.push(...found.findings);
        missing.push(...found.missing);
      }
      memory.main.trim(2 * machines.length + mostUndone);
      return { machines, findings, missing };
    },

    *later({ file }, analysed) {
      const memory = memoryOf(file);
      const findings: Finding[] = [];
      for (const { machine, engine } of analysed.machines) {
        if (engine) findings.push(...(yield* keptOr(memory.later, machine, laterChecks(engine))).findings);
      }
      memory.later.trim(2 * analysed.machines.length + mostUndone);
      return { findings, missing: [] };
    },
  };
}

function* mainChecks(engine: Engine): Generator<void, Kept> {
  const findings = yield* runChecks(engine, { phase: "main" });
  return { findings, missing: engine.covered().missing };
}

function* laterChecks(engine: Engine): Generator<void, Kept> {
  const analyse = (changed: Machine) => makeExactEngine(buildCircuit(changed), { budget: laterBudget });
  return { findings: yield* runChecks(engine, { phase: "later", analyse }), missing: [] };
}

/** The file with all that it uses, directly or not. */
function filesOf(source: Source): ReadonlyMap<string, Tree> {
  const files = new Map<string, Tree>([[source.file, source.tree]]);
  const visit = (file: string, tree: Tree) => {
    for (const path of usedPaths(tree)) {
      const used = source.used(file, path);
      if ("missing" in used || files.has(used.file)) continue;
      files.set(used.file, used.tree);
      visit(used.file, used.tree);
    }
  };
  visit(source.file, source.tree);
  return files;
}

/** One for whoever needs no memory of its own. */
export const standardPipeline: Pipeline = makeStandardPipeline();
