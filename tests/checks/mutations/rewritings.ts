/**
 * Other ways to write the same machine: names, order, chains, charts, splices, remarks, white space. Names and charts are changed by the
 * editor's own rename and rewrites, so that those are proved harmless as well.
 */
import { formatWhole } from "../../../grammar/format.ts";
import { parse } from "../../../grammar/parse.ts";
import { buildCircuit } from "../../../server/circuit/build.ts";
import { rename, type TextEdit } from "../../../server/editor/rename.ts";
import { rewrites } from "../../../server/editor/rewrites.ts";
import type { FileView } from "../../../server/editor/view.ts";
import { resolveFile } from "../../../server/machine/index.ts";

export const FILE = "bench.camleaf";

export type Random = () => number;

/** A row of numbers in [0, 1) that the seed fixes. */
export function seeded(seed: number): Random {
  let state = (seed * 2654435761) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

export interface Rewritten {
  readonly text: string;
  /** Old name by new name, in the order of the renames. */
  readonly renames: readonly (readonly [now: string, before: string])[];
  /** What was done, in words. */
  readonly words: readonly string[];
}

type Way = (text: string, random: Random, others: Readonly<Record<string, string>>) => string | Rename | undefined;

interface Rename {
  readonly text: string;
  readonly renamed: readonly [string, string];
}

const WAYS: Readonly<Record<string, Way>> = {
  "a name changed": newName,
  "statements in another order": reordered,
  "a chain or a chart row written otherwise": rewritten,
  "a splice": spliced,
  "remarks behind lines": (text, random) =>
    text.replace(/$/gm, (_, at: number) => (random() < 0.4 && !insideRemark(text, at) ? "  # a remark" : "")),
  "remarks on lines of their own": (text, random) =>
    text.replace(/^/gm, () => (random() < 0.3 ? '# a remark: "x" { wire\n' : "")),
  "no remarks": (text) => text.replace(/[ \t]*#.*$/gm, ""),
  "blank lines": (text, random) => text.replace(/\n/g, () => (random() < 0.3 ? "\n\n" : "\n")),
  "tabs for spaces at the start of lines": (text) => text.replace(/^ +/gm, "\t"),
  "spaces at the ends of lines": (text, random) => text.replace(/(?=\r?$)/gm, () => (random() < 0.3 ? "  \t" : "")),
  "lines that end in CRLF": (text) => text.replace(/\r?\n/g, "\r\n"),
  "laid out by the formatter": (text) => formatWhole(text),
};

/** `times` ways after one another, those that find something to do. */
export function rewriteAtRandom(
  text: string,
  random: Random,
  times: number,
  others: Readonly<Record<string, string>>,
): Rewritten {
  const names = Object.keys(WAYS);
  const renames: (readonly [string, string])[] = [];
  const words: string[] = [];
  let now = text;
  for (let done = 0; done < times; done++) {
    const name = names[Math.floor(random() * names.length)]!;
    const made = WAYS[name]!(now, random, others);
    const next = typeof made === "string" ? made : made?.text;
    if (next === undefined || next === now) continue;
    now = next;
    if (typeof made === "object") renames.push(made.renamed);
    words.push(typeof made === "object" ? `${made.renamed[1]} called ${made.renamed[0]}` : name);
  }
  return { text: now, renames, words };
}

export function viewOf(text: string, others: Readonly<Record<string, string>>): FileView {
  const files = new Map(Object.entries({ ...others, [FILE]: text }).map(([name, t]) => [name, parse(t)]));
  const { machines, findings } = resolveFile(files, FILE);
  return {
    file: FILE,
    text,
    tree: files.get(FILE)!,
    machines: machines.map((machine) => ({ machine, circuit: buildCircuit(machine) })),
    findings,
    files,
  };
}

function applied(text: string, edits: readonly TextEdit[]): string {
  return [...edits]
    .sort((a, b) => b.place.from - a.place.from)
    .reduce((t, { place, text: word }) => t.slice(0, place.from) + word + t.slice(place.to), text);
}

function insideRemark(text: string, at: number): boolean {
  return text.slice(text.lastIndexOf("\n", at - 1) + 1, at).includes("#");
}

let names = 0;

/** A part, terminal, position, group of steps or type gets a name that nothing has. */
function newName(text: string, random: Random, others: Readonly<Record<string, string>>): Rename | undefined {
  const view = viewOf(text, others);
  const mentions = view.machines
    .flatMap(({ machine }) => machine.mentions)
    .filter(({ place, defines }) => defines && place.file === FILE);
  const mention = mentions[Math.floor(random() * mentions.length)];
  if (!mention) return undefined;
  const name = `Zq${++names}`;
  const edits = rename(view, mention.place.from, name);
  if ("refused" in edits || edits.some(({ place }) => place.file !== FILE)) return undefined;
  return { text: applied(text, edits), renamed: [name, text.slice(mention.place.from, mention.place.to)] };
}

function reordered(text: string, random: Random): string {
  const { statements } = parse(text);
  const first = statements.findIndex(({ statement }) => statement === "machine") + 1;
  const movable = statements.slice(first);
  const start = movable[0]?.from ?? text.length;
  const pieces = movable.map(({ from, to }) => {
    const end = text.indexOf("\n", to);
    return text.slice(from, end < 0 ? text.length : end).trimEnd();
  });
  for (let i = pieces.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [pieces[i], pieces[j]] = [pieces[j]!, pieces[i]!];
  }
  return `${text.slice(0, start)}${pieces.join("\n")}\n`;
}

function rewritten(text: string, random: Random, others: Readonly<Record<string, string>>): string | undefined {
  const view = viewOf(text, others);
  const lines = view.tree.statements.flatMap(({ from, to }) => {
    const starts = [from];
    for (let at = text.indexOf("\n", from); at >= 0 && at < to; at = text.indexOf("\n", at + 1)) {
      const next = at + 1 + /^[ \t]*/.exec(text.slice(at + 1))![0].length;
      if (next < to) starts.push(next);
    }
    return starts;
  });
  const found = lines.flatMap((at) => rewrites(view, at, at));
  const fix = found[Math.floor(random() * found.length)];
  return fix && applied(text, fix.edits);
}

function spliced(text: string, random: Random, others: Readonly<Record<string, string>>): string | undefined {
  // A wire that an error leaves out would leave the splice loose as well.
  if (viewOf(text, others).machines.some(({ machine }) => machine.findings.some(({ gravity }) => gravity === "error")))
    return undefined;
  // At the head of a chain a part counts from its far end, so only points are spliced.
  const wires = [...text.matchAll(/^wire (L\d?|N|\w+\.\w+) to ([^\r\n]*)$/gm)];
  const wire = wires[Math.floor(random() * wires.length)];
  if (!wire) return undefined;
  const name = `Spl${++names}`;
  const { index } = wire;
  return `${text.slice(0, index)}splice ${name}\nwire ${wire[1]} to ${name}\nwire ${name} to ${wire[2]}${text.slice(index + wire[0].length)}`;
}
