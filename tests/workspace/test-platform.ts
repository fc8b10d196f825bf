import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../../server/base/finding.ts";
import { type Pipeline, usedPaths } from "../../server/workspace/pipeline.ts";
import type { Platform } from "../../server/workspace/platform.ts";
import type { Publication } from "../../server/workspace/publisher.ts";
import { type Done, Workspace } from "../../server/workspace/workspace.ts";

/** A platform whose clock stands still until the test moves it, and which runs one job at a time. */
export class TestPlatform implements Platform {
  readonly files = new Map<string, string>();
  readonly reads: string[] = [];
  readonly lines: string[] = [];
  /** Files whose reading never ends until `release`. */
  readonly held = new Map<string, (text: string | undefined) => void>();
  readonly hold = new Set<string>();
  #now = 0;
  #jobs: (() => void)[] = [];
  #timers: { readonly at: number; readonly job: () => void }[] = [];

  readFile(address: string): Promise<string | undefined> {
    this.reads.push(address);
    if (this.hold.has(address)) return new Promise((resolve) => this.held.set(address, resolve));
    return Promise.resolve(this.files.get(address));
  }
  soon(job: () => void): void {
    this.#jobs.push(job);
  }
  after(milliseconds: number, job: () => void): () => void {
    const timer = { at: this.#now + milliseconds, job };
    this.#timers.push(timer);
    return () => {
      this.#timers = this.#timers.filter((other) => other !== timer);
    };
  }
  // Each look at the clock takes long enough that a slice of work holds one job.
  now(): number {
    return (this.#now += 10);
  }
  log(line: string): void {
    this.lines.push(line);
  }

  /** One waiting job; false when there is none. */
  async step(): Promise<boolean> {
    for (let i = 0; i < 20; i++) await Promise.resolve(); // answers on their way
    const job = this.#jobs.shift();
    job?.();
    return job !== undefined;
  }
  async rest(): Promise<void> {
    for (let steps = 0; await this.step(); steps++) if (steps > 10_000) throw new Error("never comes to rest");
  }
  async wait(milliseconds: number): Promise<void> {
    this.#now += milliseconds;
    const due = this.#timers.filter((timer) => timer.at <= this.#now);
    this.#timers = this.#timers.filter((timer) => timer.at > this.#now);
    for (const timer of due) timer.job();
    await this.rest();
  }
}

/**
 * A pipeline for scheduling tests, where words of the text decide what is found and how: SYNTAX, NAME and DEEP are findings of the
 * three steps, SLOW makes the last one forty jobs long, BREAK-PARSE, BREAK-NAME and BREAK-DEEP throw.
 */
export class WordPipeline implements Pipeline {
  parsed = 0;
  ended = 0;

  parse(text: string): Tree {
    this.parsed++;
    if (text.includes("BREAK-PARSE")) throw new Error("parse broke");
    const statements = [...text.matchAll(/use "([^"]*)"/g)].map((match) => {
      const place = { from: match.index, to: match.index + match[0].length };
      return { statement: "use", ...place, path: { ...place, text: match[1] ?? "" } } as const;
    });
    const errors = words(text, "SYNTAX").map((place) => ({ id: "syntax", ...place, what: "Bad.", advice: "Mend it." }));
    return { from: 0, to: text.length, text, statements, comments: [], errors, tokens: [] };
  }

  name({ file, tree, used }: Parameters<Pipeline["name"]>[0]): ReturnType<Pipeline["name"]> {
    if (tree.text.includes("BREAK-NAME")) throw new Error("name broke");
    const missing: Finding[] = usedPaths(tree).flatMap((path) => {
      const found = used(file, path);
      const [first] = words(tree.text, path);
      return "missing" in found && first ? [finding(file, found.missing, first)] : [];
    });
    const names = words(tree.text, "NAME").map((place) => finding(file, "name", place));
    return {
      machines: [],
      findings: [...words(tree.text, "SYNTAX").map((p) => finding(file, "syntax", p)), ...missing, ...names],
    };
  }

  *analyse({ file, tree, used }: Parameters<Pipeline["name"]>[0]): ReturnType<Pipeline["analyse"]> {
    let whole = false;
    try {
      if (tree.text.includes("SLOW")) for (let i = 0; i < 40; i++) yield;
      if (tree.text.includes("BREAK-DEEP")) throw new Error("analysis broke");
      // A word of a used file counts as found in this one, to see which text was used.
      const others = usedPaths(tree).flatMap((path) => {
        const found = used(file, path);
        return "tree" in found ? [finding(file, `uses ${found.tree.text}`, { from: 0, to: 1 })] : [];
      });
      whole = true;
      return {
        machines: [],
        findings: [...words(tree.text, "DEEP").map((p) => finding(file, "deep", p)), ...others],
        missing: [],
      };
    } finally {
      if (!whole) this.ended++;
    }
  }

  *later({ file, tree }: Parameters<Pipeline["name"]>[0]): ReturnType<Pipeline["later"]> {
    yield;
    if (tree.text.includes("BREAK-LATER")) throw new Error("later broke");
    return { findings: words(tree.text, "LATER").map((p) => finding(file, "later", p)), missing: [] };
  }
}

function words(text: string, word: string): { from: number; to: number }[] {
  const places: { from: number; to: number }[] = [];
  for (let at = text.indexOf(word); at >= 0; at = text.indexOf(word, at + 1))
    places.push({ from: at, to: at + word.length });
  return places;
}

function finding(file: string, id: string, place: { from: number; to: number }): Finding {
  return { id, gravity: "warning", place: { file, ...place }, what: `${id}.`, advice: "Mend it.", related: [] };
}

/** A workspace on a test platform, with all that it sent. */
export function setUp(folders: readonly string[] = ["file:///w"]) {
  const platform = new TestPlatform();
  const pipeline = new WordPipeline();
  const sent: Publication[] = [];
  const done: Done[] = [];
  const workspace = new Workspace(platform, pipeline, { publish: (p) => sent.push(p), done: (d) => done.push(d) });
  workspace.folders = folders;
  /** `version:ids` of everything sent for the file. */
  const told = (file: string) =>
    sent
      .filter((p) => p.file === file)
      .map((p) => `${p.version ?? "closed"}: ${p.findings.map((f) => f.id).join(" ")}`.trim());
  return { platform, pipeline, workspace, sent, done, told };
}
