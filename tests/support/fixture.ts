/**
 * The one marker language of the tests' texts. In a text:
 *
 * - `▮` marks the caret; it is taken out and its offset kept.
 * - `#- parts.camleaf` on a line of its own begins another file; what stands before the first is `main.camleaf`.
 * - `^^^^ error unknown-part: Nothing is called` under a line says that a finding of that gravity and id is expected exactly there,
 *   and that its text holds these words. Id and words may be left out. Several such lines may follow one another.
 *
 * The common indentation is taken off, so that a text can stand inside a test's own lines.
 */
import { expect } from "vitest";
import { parse } from "../../grammar/parse.ts";
import type { Tree } from "../../grammar/tree.ts";
import { type Finding, findingText, type Gravity } from "../../server/base/finding.ts";
import {
  type Contact,
  type Control,
  type Load,
  type Machine,
  type Mention,
  type Part,
  type ResolvedFile,
  resolveFile,
} from "../../server/machine/index.ts";

export const mainFile = "main.camleaf";

export interface Marked {
  readonly file: string;
  readonly from: number;
  readonly to: number;
  readonly gravity: Gravity;
  readonly id?: string;
  readonly words: string;
}

export interface Fixture {
  /** Text of each file, marks taken out. */
  readonly files: ReadonlyMap<string, string>;
  readonly text: string;
  readonly caret?: { readonly file: string; readonly offset: number };
  readonly marked: readonly Marked[];
}

const markLine = /^\s*(\^+)\s*(error|warning|information|hint)(?:\s+([a-z-]+))?(?::\s*(.*))?$/;

function unindented(text: string): string[] {
  const lines = text
    .replace(/^\n/, "")
    .replace(/\n[ \t]*$/, "")
    .split("\n");
  const depths = lines.filter((line) => line.trim() !== "").map((line) => line.length - line.trimStart().length);
  const depth = depths.length === 0 ? 0 : Math.min(...depths);
  return lines.map((line) => line.slice(depth));
}

/** Reads the marks out of a text. */
export function readFixture(source: string): Fixture {
  const files = new Map<string, string>();
  const marked: Marked[] = [];
  let caret: Fixture["caret"];
  let file = mainFile;
  let text = "";
  let lineStart = 0;
  const close = () => {
    if (text !== "" || files.size > 0 || file !== mainFile) files.set(file, text);
  };
  for (const written of unindented(source)) {
    const header = /^#-\s*(\S+)\s*$/.exec(written);
    if (header) {
      close();
      file = header[1]!;
      text = "";
      continue;
    }
    const mark = markLine.exec(written);
    if (mark) {
      const from = lineStart + written.indexOf("^");
      marked.push({
        file,
        from,
        to: from + mark[1]!.length,
        gravity: mark[2] as Gravity,
        id: mark[3],
        words: mark[4]?.trim() ?? "",
      });
      continue;
    }
    lineStart = text.length;
    const at = written.indexOf("▮");
    if (at >= 0) caret = { file, offset: lineStart + at };
    text += `${at >= 0 ? written.slice(0, at) + written.slice(at + 1) : written}\n`;
  }
  close();
  if (!files.has(mainFile)) files.set(mainFile, "");
  return { files, text: files.get(mainFile)!, caret, marked };
}

export interface Loaded {
  readonly fixture: Fixture;
  readonly trees: ReadonlyMap<string, Tree>;
  readonly resolved: ResolvedFile;
  readonly machines: readonly Machine[];
  /** Findings of writing and naming of the main file. */
  readonly findings: readonly Finding[];
  readonly mentions: readonly Mention[];
}

export function load(source: string): Loaded {
  const fixture = readFixture(source);
  const trees = new Map([...fixture.files].map(([name, text]) => [name, parse(text)]));
  const resolved = resolveFile(trees, mainFile);
  return {
    fixture,
    trees,
    resolved,
    machines: resolved.machines,
    findings: [...resolved.findings, ...resolved.machines.flatMap((machine) => machine.findings)],
    mentions: [...resolved.mentions, ...resolved.machines.flatMap((machine) => machine.mentions)],
  };
}

/** The one machine of a text that nothing is wrong with. */
export function machineOf(source: string): Machine {
  const { machines, findings } = load(source);
  expect(findings.filter(({ gravity }) => gravity === "error").map(findingText)).toEqual([]);
  expect(machines).toHaveLength(1);
  return machines[0]!;
}

/** The findings of a text are the marked ones and no others, in any order. */
export function expectMarked(source: string): readonly Finding[] {
  const { fixture, findings } = load(source);
  const shown = (file: string, from: number, to: number, gravity: string, rest: string) =>
    `${file} ${JSON.stringify((fixture.files.get(file) ?? "").slice(from, to))} at ${from}: ${gravity} ${rest}`;
  const found = findings.map((finding) => {
    const mark = fixture.marked.find(
      (each) =>
        each.file === finding.place.file &&
        each.from === finding.place.from &&
        each.to === finding.place.to &&
        each.gravity === finding.gravity &&
        (each.id === undefined || each.id === finding.id) &&
        findingText(finding).includes(each.words),
    );
    const { file, from, to } = finding.place;
    return mark ? "" : shown(file, from, to, finding.gravity, `${finding.id}: ${findingText(finding)}`);
  });
  const missed = fixture.marked.filter(
    (mark) =>
      !findings.some(
        (finding) =>
          mark.file === finding.place.file &&
          mark.from === finding.place.from &&
          mark.to === finding.place.to &&
          mark.gravity === finding.gravity &&
          (mark.id === undefined || mark.id === finding.id) &&
          findingText(finding).includes(mark.words),
      ),
  );
  expect({
    unexpected: found.filter((line) => line !== ""),
    missed: missed.map((mark) => shown(mark.file, mark.from, mark.to, mark.gravity, `${mark.id ?? ""}: ${mark.words}`)),
  }).toEqual({ unexpected: [], missed: [] });
  return findings;
}

// ------------------------------------------------------------ things by name

function named<T extends { readonly name: string }>(things: readonly T[], name: string, what: string): T {
  const found = things.find((thing) => thing.name === name);
  if (!found) throw new Error(`no ${what} ${name}; there are ${things.map((thing) => thing.name).join(", ")}`);
  return found;
}

export const partOf = (machine: Machine, name: string): Part => named(machine.parts, name, "part");
export const contactOf = (machine: Machine, name: string): Contact => named(machine.contacts, name, "contact");
export const loadOf = (machine: Machine, name: string): Load => named(machine.loads, name, "load");
export const controlOf = (machine: Machine, name: string): Control => named(machine.controls, name, "control");

/** Wires as pairs of terminal names, in text order. */
export function wiresOf(machine: Machine): string[] {
  return machine.wires.map((wire) => `${machine.terminals[wire.a]!.fullName} - ${machine.terminals[wire.b]!.fullName}`);
}
