/** Reads samples and cases as the tools do: text, tree, machines, and when wanted every state. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import type { Finding } from "../../server/base/finding.ts";
import type { MachineView } from "../../server/editor/view.ts";
import type { Condition, Machine, MachineState } from "../../server/machine/machine.ts";
import type { Analysed, Named, Source, UsedFile } from "../../server/workspace/pipeline.ts";
import { standardPipeline } from "../../server/workspace/standard-pipeline.ts";

export const root = join(import.meta.dirname, "../..");

/** Every `.camleaf` file of a folder, as paths from the project's root. */
export function filesIn(folder: string): string[] {
  return readdirSync(join(root, folder))
    .filter((name) => name.endsWith(".camleaf"))
    .sort()
    .map((name) => `${folder}/${name}`);
}

/** A file as a source for the pipeline; `use` follows relative paths on disk. */
export function sourceOf(file: string, text = readFileSync(join(root, file), "utf8")): Source {
  return {
    file,
    tree: standardPipeline.parse(text),
    used: (from, path): UsedFile => {
      const wanted = relative(root, join(root, dirname(from), path));
      if (!existsSync(join(root, wanted))) return { missing: "not-found" };
      return { file: wanted, tree: standardPipeline.parse(readFileSync(join(root, wanted), "utf8")) };
    },
  };
}

export interface Read extends Named {
  readonly source: Source;
}

export function read(file: string, text?: string): Read {
  const source = sourceOf(file, text);
  return { source, ...standardPipeline.name(source) };
}

/** All phases, to the end. */
export function analyse(file: string, text?: string): Analysed {
  const { source, ...named } = read(file, text);
  const run = standardPipeline.analyse(source, named);
  for (;;) {
    const { done, value } = run.next();
    if (done) return value;
  }
}

export function onlyMachine(views: readonly MachineView[]): MachineView {
  if (views.length !== 1) throw new Error(`one machine wanted, ${views.length} found`);
  return views[0]!;
}

/** `id at line: what`, for messages of failing tests and lists of findings. */
export function lineOf(finding: Finding, text: string): number {
  return text.slice(0, finding.place.from).split("\n").length;
}

export function told(findings: readonly Finding[], text: string): string[] {
  return findings.map((f) => `${f.gravity} ${f.id} line ${lineOf(f, text)}: ${f.what}`);
}

/**
 * The state of a row: `TM in timed 1, DOOR shut, DM running`; controls not named stand at rest. A group of steps means its first
 * step. Read here with a few lines of its own, so that a slip in the language's conditions cannot hide.
 */
export function stateOf(machine: Machine, when: string): MachineState {
  const state = Uint8Array.from(machine.controls, ({ rest }) => rest);
  for (const term of when.split(",").map((one) => one.trim())) {
    const [name, ...rest] = term.split(/\s+/);
    const wanted = (rest[0] === "in" ? rest.slice(1) : rest).join(" ");
    const control = machine.controls.find((one) => one.name === name);
    if (!control)
      throw new Error(`${name}: no such control; there are ${machine.controls.map((c) => c.name).join(", ")}`);
    const at = control.positions.findIndex((p) => p.name === wanted || p.group === wanted);
    if (at < 0) throw new Error(`${term}: its positions are ${control.positions.map((p) => p.name).join(", ")}`);
    state[control.id] = at;
  }
  return state;
}

/** One AND of literals that only this state satisfies. */
export function exactly(machine: Machine, state: MachineState): Condition {
  return [
    machine.controls.map((control) => ({
      control: control.id,
      positions: Uint8Array.from(control.positions, (_, index) => (index === state[control.id] ? 1 : 0)),
    })),
  ];
}
