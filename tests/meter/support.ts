/** Findings of a text, diagnosed. */
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { parse } from "../../grammar/parse.ts";
import type { Tree } from "../../grammar/tree.ts";
import { attachedBlocks, resolveMachines, resolveUsePath, usedPaths } from "../../server/machine/index.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { readCase } from "../../server/meter/case.ts";
import { type Diagnosis, diagnose } from "../../server/meter/diagnose.ts";
import { benchReport } from "../../server/meter/report.ts";
import type { Engine } from "../../server/states/engine.ts";
import { analyse, toEnd } from "../checks/analysed.ts";

const engines = new Map<string, Engine>();

function engineFor(machine: Machine): Engine {
  const key = machine.tree.text;
  let engine = engines.get(key);
  if (!engine) engines.set(key, (engine = toEnd(analyse(machine))));
  return engine;
}

function readAll(file: string, files: Map<string, Tree>, texts: ReadonlyMap<string, string>): void {
  if (files.has(file)) return;
  const tree = parse(texts.get(file) ?? readFileSync(file, "utf8"));
  files.set(file, tree);
  for (const path of usedPaths(tree)) readAll(resolveUsePath(file, path)!, files, texts);
}

/** The first findings block of a file, or of a text that stands beside the samples. */
export function diagnosed(file: string, text?: string) {
  const whole = resolve(file);
  const files = new Map<string, Tree>();
  readAll(whole, files, new Map(text === undefined ? [] : [[whole, text]]));
  const { statement, machine } = attachedBlocks("findings", files, whole, resolveMachines(files, whole))[0]!;
  const engine = engineFor(machine!);
  const bench = readCase(engine, statement, whole, files.get(whole)!.text);
  const diagnosis: Diagnosis = diagnose(engine, bench);
  return { engine, bench, diagnosis, report: benchReport(machine!, diagnosis) };
}

/** Findings about a sample machine: `lines` of the block. */
export function findingsOn(sample: string, lines: string) {
  return diagnosed(`samples/bench/none-${sample}`, `use "../${sample}.camleaf"\nfindings "x" {\n${lines}\n}\n`);
}
