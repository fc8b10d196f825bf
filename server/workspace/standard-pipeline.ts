import { reparse } from "../../grammar/reparse.ts";
import { hasStatement } from "../../grammar/statement-list.ts";
import type { Tree } from "../../grammar/tree.ts";
import { Beside } from "../base/beside.ts";
import type { Finding } from "../base/finding.ts";
import { type CheckOptions, runChecks } from "../checks/run-checks.ts";
import { silencers } from "../checks/silence.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { Circuit } from "../circuit/circuit.ts";
import type { BenchView, MachineView, ProposalView } from "../editor/view.ts";
import {
  attachedBlocks,
  type Locate,
  type Machine,
  originOf,
  type ResolvedBefore,
  resolveFile,
  type Structure,
  structureOf,
} from "../machine/index.ts";
import { benchFindings } from "../meter/bench-findings.ts";
import { applyProposal } from "../proposals/apply.ts";
import { type Comparison, compareProposal, sideOf } from "../proposals/compare.ts";
import { ComparisonMemory } from "../proposals/comparison-memory.ts";
import type { Side } from "../proposals/difference.ts";
import { proposalFindings } from "../proposals/proposal-findings.ts";
import type { Engine } from "../states/engine.ts";
import { EngineMemory, engineForChanged, makeExactEngine, movedEngine } from "../states/exact/exact-engine.ts";
import { type Description, describeMachine, KnownMachines, movedDescription } from "./descriptions.ts";
import { type Kept, KeptFindings } from "./kept-findings.ts";
import { withoutLabels } from "./part-labels.ts";
import { type Pipeline, type Source, usedPaths } from "./pipeline.ts";

/** Pieces that the analysis of a changed machine (lost neutral, other supply volts) may work out. */
const laterBudget = 5_000;
/** Files whose engines are remembered: an edit then costs little. */
const mostRemembered = 12;
/** Earlier versions of machines whose findings are kept, so that undoing costs nothing. */
const mostUndone = 4;

/** A machine of the text before: its engine answers for an equal one, its memory helps for one that differs a little. */
interface Remembered {
  readonly memory: EngineMemory;
  /** Without an engine while the next one is being made from the memory. */
  made?: { readonly kind: number; readonly engine: Engine };
}

/** What is remembered of a file from one version of its text to the next. */
class FileMemory {
  machines: Remembered[] = [];
  /** The machine of another file that this file's bench findings are about. */
  used: { readonly tree: Tree; readonly engine: Engine } | undefined;
  /** What proposals came to, by their text and their machine's. */
  compared: ReadonlyMap<string, Comparison> = new Map();
  /** What fewer edits of proposals bring, for one text of their machine. */
  readonly comparisons: ComparisonMemory[] = [];
  /** The machine of another file that this file's proposals are about. */
  proposedFor: { readonly trees: readonly Tree[]; readonly machine: string; readonly side: Side } | undefined;
  brought: { readonly base: string; readonly known: Map<string, ReadonlySet<string>> } | undefined;
  /** The machines of the text before, for those whose text stays the same. */
  resolved: ResolvedBefore | undefined;
  readonly main = new KeptFindings();
  readonly later = new KeptFindings();
  readonly known = new KnownMachines();

  /** The memory that an engine of this file was made from. */
  engineMemory(engine: Engine): EngineMemory | undefined {
    return this.machines.find(({ made }) => made?.engine === engine)?.memory;
  }

  /**
   * For each machine of the new text one of the old one: the equal one, else the one at the same place in the file whose own machine is
   * gone, else nothing yet.
   */
  match(kinds: readonly number[]): Remembered[] {
    const free = new Map(this.machines.map((one, index) => [index, one]));
    const found = new Map<number, Remembered>();
    for (const [index, each] of kinds.entries()) {
      for (const [old, one] of free) {
        if (one.made?.kind !== each) continue;
        found.set(index, one);
        free.delete(old);
        break;
      }
    }
    this.machines = kinds.map((_, index) => {
      const equal = found.get(index);
      if (equal) return equal;
      const near = free.has(index) ? index : free.keys().next().value;
      const one = near === undefined ? undefined : free.get(near);
      if (near !== undefined) free.delete(near);
      return one ?? { memory: new EngineMemory() };
    });
    return this.machines;
  }
}

/** The rooms in their order: parse, resolve names, engine, checks. */
export function makeStandardPipeline(): Pipeline {
  const memories = new Map<string, FileMemory>();
  const descriptions = new Beside<Machine, Description>();
  const circuits = new Beside<Machine, Circuit>();

  const memoryOf = (file: string): FileMemory => {
    const known = memories.get(file) ?? new FileMemory();
    memories.delete(file); // the latest one stands last
    memories.set(file, known);
    const oldest = memories.size > mostRemembered ? memories.keys().next().value : undefined;
    if (oldest !== undefined) memories.delete(oldest);
    return known;
  };

  const describe = (machine: Machine): Description => {
    const known = descriptions.get(machine);
    if (known) return known;
    const origin = originOf(machine);
    const before = origin && descriptions.get(origin.machine);
    const described = before ? movedDescription(before, origin.by) : describeMachine(machine);
    memoryOf(machine.file).known.add(described);
    descriptions.set(machine, described);
    return described;
  };

  const circuitOf = (machine: Machine): Circuit => {
    const origin = originOf(machine);
    const before = origin && circuits.get(origin.machine);
    const circuit = before ? { ...before, machine } : buildCircuit(machine);
    circuits.set(machine, circuit);
    return circuit;
  };

  /** Findings from an earlier version of the text where the machine is the same, else anew. */
  function* keptOr(kept: KeptFindings, machine: Machine, anew: () => Generator<void, Kept>): Generator<void, Kept> {
    const description = describe(machine);
    return kept.find(description) ?? kept.keep(description, yield* anew());
  }

  function* engineOf(remembered: Remembered, machine: Machine, circuit: Circuit): Generator<void, Engine> {
    const { kind } = describe(machine);
    const known = remembered.made;
    const equal = known?.kind === kind ? movedEngine(known.engine, circuit) : undefined;
    if (equal) {
      remembered.made = { kind, engine: equal };
      return equal;
    }
    remembered.made = undefined; // the next one is built on its memory
    const engine = yield* makeExactEngine(circuit, { memory: remembered.memory });
    remembered.made = { kind, engine };
    return engine;
  }

  return {
    parse: reparse,

    name(source) {
      const files = filesOf(source);
      const { file, tree } = source;
      const memory = memoryOf(file);
      // What a silencer silences hangs on lines, of which a machine taken over knows nothing.
      const silenced = silencers(tree, file).length > 0;
      const { machines, findings, mentions } = resolveFile(
        files,
        file,
        undefined,
        silenced ? undefined : memory.resolved,
      );
      memory.resolved = silenced ? undefined : { tree, machines };
      return {
        files,
        mentions,
        machines: machines.map((machine) => ({ machine, circuit: circuitOf(machine) })),
        findings: [...findings, ...machines.flatMap((machine) => machine.findings)],
      };
    },

    *analyse({ file }, named, isDue) {
      const memory = memoryOf(file);
      const machines: MachineView[] = [];
      const findings: Finding[] = [];
      const missing: string[] = [];
      const before = memory.match(named.machines.map(({ machine }) => describe(machine).kind));
      for (const [index, { machine, circuit }] of named.machines.entries()) {
        const engine = yield* engineOf(before[index]!, machine, circuit);
        machines.push({ machine, circuit, engine });
        const checks = () => mainChecks(unlabelled(engine), structureOf(machine), isDue);
        const found = yield* keptOr(memory.main, machine, checks);
        findings.push(...found.findings);
        missing.push(...found.missing);
      }
      memory.main.trim(machines.length + mostUndone);
      memory.known.trim(machines.length + mostUndone);
      return { machines, findings, missing };
    },

    *later(source, analysed, isDue) {
      const { file } = source;
      const memory = memoryOf(file);
      const findings: Finding[] = [];
      const missing: string[] = [];
      const looked: string[] = [];
      const proposes = hasStatement(source.tree, "proposal");
      const sides = new Map<Machine, Side>();
      for (const { machine, engine } of analysed.machines) {
        if (!engine) continue;
        const checks = () => laterChecks(unlabelled(engine), memory.engineMemory(engine), isDue);
        const kept = yield* keptOr(memory.later, machine, checks);
        const later = kept.findings;
        findings.push(...later);
        missing.push(...kept.missing);
        looked.push(...(kept.looked ?? []));
        const main = proposes ? (memory.main.find(describe(machine))?.findings ?? []) : [];
        if (proposes) sides.set(machine, { engine, findings: [...main, ...later] });
      }
      memory.later.trim(analysed.machines.length + mostUndone);
      const benches = yield* benchViews(source, analysed.machines, memory);
      for (const { engine, statement } of benches)
        findings.push(...(yield* benchFindings(engine, statement, file, source.tree.text)));
      const proposals = yield* proposalViews(source, sides, memory, describe);
      for (const { statement, base, comparison, locate } of proposals) {
        const applied = applyProposal(base, filesOf(source), { statement, file }, locate);
        findings.push(...proposalFindings(base, statement, file, comparison, applied));
      }
      return { findings, missing, looked: { at: [...new Set(looked)], missing }, benches, proposals };
    },
  };
}

const withoutTheirLabels = new Beside<Engine, Engine>();

/** The engine of a machine whose parts bear no labels: one for the checks of both phases. */
function unlabelled(engine: Engine): Engine {
  const known = withoutTheirLabels.get(engine);
  if (known) return known;
  const { circuit } = engine;
  const moved = movedEngine(engine, { ...circuit, machine: withoutLabels(circuit.machine).machine });
  if (!moved) throw new TypeError("another kind of engine");
  withoutTheirLabels.set(engine, moved);
  return moved;
}

type IsDue = CheckOptions["isDue"];

function* mainChecks(engine: Engine, structure: Structure, isDue: IsDue): Generator<void, Kept> {
  const findings = yield* runChecks(engine, { phase: "main", structure, isDue });
  return { findings, missing: engine.covered().missing };
}

/** A changed machine differs little from its own, so its engine is made from the same memory. */
function* laterChecks(engine: Engine, memory: EngineMemory | undefined, isDue: IsDue): Generator<void, Kept> {
  const analyse = (changed: Machine) =>
    engineForChanged(engine, changed, { budget: laterBudget, ...(memory ? { memory } : {}) });
  const looked: string[] = [];
  const missing: string[] = [];
  const note = (at: string, cut: readonly string[]): void => {
    looked.push(at);
    missing.push(...cut);
  };
  return { findings: yield* runChecks(engine, { phase: "later", analyse, looked: note, isDue }), missing, looked };
}

/** Findings blocks with their machines; one that stands in a used file gets an engine of its own, kept with its text. */
function* benchViews(
  source: Source,
  own: readonly MachineView[],
  memory: FileMemory,
): Generator<void, readonly BenchView[]> {
  if (!hasStatement(source.tree, "findings")) return [];
  const machines = own.map(({ machine }) => machine);
  const views: BenchView[] = [];
  for (const { statement, machine } of attachedBlocks(
    "findings",
    filesOf(source),
    source.file,
    machines,
    locateIn(source),
  )) {
    const index = machine ? machines.indexOf(machine) : -1;
    if (!machine) continue;
    if (index < 0 && memory.used?.tree !== machine.tree) {
      const engine = yield* makeExactEngine(buildCircuit(machine));
      memory.used = { tree: machine.tree, engine };
    }
    const engine = index >= 0 ? own[index]!.engine : memory.used?.engine;
    if (engine) views.push({ statement, engine });
  }
  return views;
}

/**
 * Proposals with what comes of them. What a proposal comes to hangs on its own text and on the machine, so it is worked out again only
 * when one of the two changes.
 */
/**
 * What stands between the statements of a text that has errors, and behind which one: a proposal is carried out in the text, and a line
 * that is nothing today may go on from a line that is put before it.
 */
function strayText({ errors, statements, text }: Source["tree"]): string {
  if (errors.length === 0) return "";
  let from = 0;
  const between: string[] = [];
  for (const [index, to] of [...statements.map((statement) => statement.from), text.length].entries()) {
    const stray = text.slice(from, to); // where its lines begin decides what they go on from
    if (stray.trim() !== "") between.push(`${index} ${stray}`);
    from = Math.max(from, statements[index]?.to ?? from);
  }
  return between.join("\n");
}

function* proposalViews(
  source: Source,
  sides: ReadonlyMap<Machine, Side>,
  memory: FileMemory,
  describe: (machine: Machine) => Description,
): Generator<void, readonly ProposalView[]> {
  const { file, tree } = source;
  if (!hasStatement(tree, "proposal")) return [];
  const files = filesOf(source);
  const written = (words: readonly string[]) =>
    [...files.values()].flatMap(({ statements, text }) =>
      statements.flatMap(({ statement, from, to }) => (words.includes(statement) ? [text.slice(from, to)] : [])),
    );
  const types = written(["type", "use"]).join("\n");
  const proposals = written(["proposal"]).join("\n");
  const locate = locateIn(source);
  const views: ProposalView[] = [];
  const kept = new Map<string, Comparison>();
  for (const { statement, machine: base } of attachedBlocks("proposal", files, file, [...sides.keys()], locate)) {
    if (!base) continue;
    const own = tree.text.slice(statement.from, statement.to);
    const { kind, labels } = describe(base);
    const whole = [types, kind, base.label, ...labels, strayText(files.get(base.file)!)].join("\n");
    const key = [own, statement.with.length > 0 ? proposals : "", whole].join("\n");
    const known = memory.compared.get(key);
    const side = known
      ? undefined
      : (sides.get(base) ?? (yield* sideElsewhere(base, files, file, `${kind} ${base.label}`, memory)));
    if (memory.brought?.base !== whole) memory.brought = { base: whole, known: new Map() };
    const proposed = { statement, file };
    const { known: brought } = memory.brought;
    const engines = comparisonMemory(memory, views.length);
    const comparison = known ?? (yield* compareProposal(base, files, proposed, side, locate, brought, engines));
    // What could not be done is told at offsets of this very text.
    if (comparison.verdict) kept.set(key, comparison);
    views.push({ statement, base, comparison, locate });
  }
  memory.compared = kept;
  return views;
}

/** More proposals of a file than this begin anew at every edit. */
const mostComparisons = 6;

function comparisonMemory({ comparisons }: FileMemory, index: number): ComparisonMemory | undefined {
  if (index >= mostComparisons) return undefined;
  return (comparisons[index] ??= new ComparisonMemory());
}

/** The machine of another file with all its findings: the ones of before as long as no other file has changed. */
function* sideElsewhere(
  base: Machine,
  files: ReadonlyMap<string, Tree>,
  file: string,
  machine: string,
  memory: FileMemory,
): Generator<void, Side> {
  const trees = [...files].flatMap(([name, tree]) => (name === file ? [] : [tree]));
  const before = memory.proposedFor;
  if (
    before?.machine === machine &&
    before.trees.length === trees.length &&
    before.trees.every((t, i) => t === trees[i])
  )
    return before.side;
  const side = yield* sideOf(base);
  memory.proposedFor = { trees, machine, side };
  return side;
}

/** Where the files stand that `use` lines name. */
function locateIn(source: Source): Locate {
  return (from, path) => {
    const used = source.used(from, path);
    return "missing" in used ? undefined : used.file;
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
