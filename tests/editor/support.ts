import type { Finding } from "../../server/base/finding.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { FileView } from "../../server/editor/view.ts";
import { analyse, toEnd } from "../checks/analysed.ts";
import { load, mainFile } from "../support/fixture.ts";

/** The view of the file with the caret, and the caret. `analysed`: with the engine of every state. */
export function viewOf(source: string, more: readonly Finding[] = [], analysed = false) {
  const { fixture, trees, machines, findings } = load(source);
  const view: FileView = {
    file: mainFile,
    text: fixture.text,
    tree: trees.get(mainFile)!,
    machines: machines.map((machine) => ({
      machine,
      circuit: buildCircuit(machine),
      ...(analysed ? { engine: toEnd(analyse(machine)) } : {}),
    })),
    findings: [...findings, ...more],
  };
  return { view, caret: fixture.caret?.offset ?? 0, files: fixture.files };
}

/** `main.camleaf:3 CT` */
export function told(files: ReadonlyMap<string, string>, place: { file: string; from: number; to: number }): string {
  const text = files.get(place.file) ?? "";
  return `${place.file}:${text.slice(0, place.from).split("\n").length} ${text.slice(place.from, place.to)}`;
}
