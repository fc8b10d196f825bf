import { parse } from "../../grammar/parse.ts";
import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { runChecks } from "../checks/run-checks.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { MachineView } from "../editor/view.ts";
import { type Machine, resolveFile } from "../machine/index.ts";
import { EngineMemory, makeExactEngine } from "../states/exact/exact-engine.ts";
import { type Pipeline, type Source, usedPaths } from "./pipeline.ts";

/** Pieces that the analysis of a changed machine (lost neutral, other supply volts) may work out. */
const laterBudget = 5_000;
/** Files whose engines are remembered: an edit then costs little. */
const mostRemembered = 12;

/** The rooms in their order: parse, resolve names, engine, checks. */
export function makeStandardPipeline(): Pipeline {
  const memories = new Map<string, EngineMemory[]>();

  const memoryOf = (file: string, index: number): EngineMemory => {
    const known = memories.get(file) ?? [];
    memories.delete(file); // the latest one stands last
    memories.set(file, known);
    const oldest = memories.size > mostRemembered ? memories.keys().next().value : undefined;
    if (oldest !== undefined) memories.delete(oldest);
    return (known[index] ??= new EngineMemory());
  };

  return {
    parse,

    name(source) {
      const { machines, findings } = resolveFile(filesOf(source), source.file);
      return {
        machines: machines.map((machine) => ({ machine, circuit: buildCircuit(machine) })),
        findings: [...findings, ...machines.flatMap((machine) => machine.findings)],
      };
    },

    *analyse({ file }, named) {
      const machines: MachineView[] = [];
      const findings: Finding[] = [];
      const missing: string[] = [];
      for (const [index, { machine, circuit }] of named.machines.entries()) {
        const engine = yield* makeExactEngine(circuit, { memory: memoryOf(file, index) });
        machines.push({ machine, circuit, engine });
        findings.push(...(yield* runChecks(engine, { phase: "main" })));
        missing.push(...engine.covered().missing);
      }
      return { machines, findings, missing };
    },

    *later(_source, analysed) {
      const findings: Finding[] = [];
      const analyse = (changed: Machine) => makeExactEngine(buildCircuit(changed), { budget: laterBudget });
      for (const { engine } of analysed.machines) {
        if (engine) findings.push(...(yield* runChecks(engine, { phase: "later", analyse })));
      }
      return { findings, missing: [] };
    },
  };
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
