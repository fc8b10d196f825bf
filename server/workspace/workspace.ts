import type { Finding } from "../base/finding.ts";
import type { FileView } from "../editor/view.ts";
import { addressKey, usedAddress } from "./address.ts";
import type { Analysed, Named, Pipeline, Source, UsedFile } from "./pipeline.ts";
import { usedPaths } from "./pipeline.ts";
import type { Platform } from "./platform.ts";
import { type GravitySettings, type Publication, Publisher } from "./publisher.ts";
import { WorkQueue } from "./queue.ts";
import { isAtLeast, type Phase, type Snapshot } from "./snapshot.ts";
import { type OpenText, Texts } from "./texts.ts";

/** Everything is done for a version of a document. */
export interface Done {
  readonly file: string;
  readonly version: number;
  readonly complete: boolean;
  readonly missing: readonly string[];
  /** What was looked at besides the machine as it is: `the neutral lost`. */
  readonly looked: readonly string[];
  /** Milliseconds since the text came in. */
  readonly milliseconds: number;
}

export interface WorkspaceEvents {
  publish(publication: Publication): void;
  done(done: Done): void;
}

interface Document {
  readonly key: string;
  text: OpenText;
  changedAt: number;
  snapshot?: Snapshot;
  /** Of the text read last. */
  tree?: Source["tree"];
  /** What the second phase starts from; set together with `snapshot`. */
  start?: { readonly source: Source; readonly named: Named };
  waiters: { readonly phase: Phase; answer(snapshot: Snapshot | undefined): void }[];
}

/**
 * Open documents and what is known of each. A change marks a document as stale; the first phase (syntax and names) runs right
 * after the messages that wait already, or at once when something is asked; the second one follows as short jobs.
 */
export class Workspace {
  readonly #platform: Platform;
  readonly #pipeline: Pipeline;
  readonly #events: WorkspaceEvents;
  readonly #texts: Texts;
  readonly #queue: WorkQueue;
  readonly #publisher: Publisher;
  readonly #documents = new Map<string, Document>();
  readonly #isDue = (): boolean => this.#queue.isDue();
  /** False when nobody tells of files that change outside the editor. */
  watched = true;
  #folders: readonly string[] = [];
  #flushing = false;

  constructor(platform: Platform, pipeline: Pipeline, events: WorkspaceEvents) {
    this.#platform = platform;
    this.#pipeline = pipeline;
    this.#events = events;
    this.#texts = new Texts(
      platform,
      (text) => pipeline.parse(text),
      (key) => this.#usedChanged(key),
    );
    this.#queue = new WorkQueue(platform, (owner, error) => this.#analysisFailed(owner, error));
    this.#publisher = new Publisher(platform, (publication) => events.publish(publication));
  }

  // ---------------------------------------------------------------- what the editor tells

  /** The whole text of a document, opened or changed. */
  put(address: string, version: number, text: string): void {
    const key = addressKey(address);
    const open: OpenText = { address, version, text };
    this.#texts.open(open);
    const document = this.#documents.get(key) ?? { key, text: open, changedAt: 0, waiters: [] };
    document.text = open;
    document.changedAt = this.#platform.now();
    this.#documents.set(key, document);
    this.#stale(document);
    this.#usedChanged(key);
  }

  close(address: string): void {
    const key = addressKey(address);
    const document = this.#documents.get(key);
    if (!document) return;
    this.#queue.cancel(key);
    this.#documents.delete(key);
    this.#texts.close(key);
    this.#publisher.closed(key, document.text.address);
    this.#answerWaiters(document, undefined);
    this.#usedChanged(key); // those who use it now see the file as saved
  }

  /** Files that changed, came or went outside the editor. */
  filesChanged(addresses: readonly string[]): void {
    for (const address of addresses) {
      const key = addressKey(address);
      this.#texts.forget(key);
      if (!this.#texts.opened(key)) this.#usedChanged(key);
    }
  }

  set folders(folders: readonly string[]) {
    this.#folders = folders;
    this.#allStale();
  }

  set gravity(settings: GravitySettings) {
    this.#publisher.settings = settings;
    for (const document of this.#documents.values()) {
      if (document.snapshot) this.#publisher.ready(document.snapshot);
    }
  }

  // ---------------------------------------------------------------- what may be asked

  /** The document as it stands, with as much of the analysis as is ready. Undefined when it is not open. */
  snapshot(address: string): Snapshot | undefined {
    const document = this.#documents.get(addressKey(address));
    return document && this.#fresh(document);
  }

  /** The document once the phase is reached, or as it stands when `patience` milliseconds have passed. */
  reached(phase: Phase, address: string, patience?: number): Promise<Snapshot | undefined> {
    const document = this.#documents.get(addressKey(address));
    if (!document) return Promise.resolve(undefined);
    const now = this.#fresh(document);
    if (isAtLeast(now.phase, phase)) return Promise.resolve(now);
    return new Promise((resolve) => {
      const stop =
        patience === undefined ? undefined : this.#platform.after(patience, () => answer(document.snapshot ?? now));
      const answer = (snapshot: Snapshot | undefined) => {
        stop?.();
        document.waiters = document.waiters.filter((waiter) => waiter.answer !== answer);
        resolve(snapshot);
      };
      document.waiters.push({ phase, answer });
    });
  }

  /**
   * The other files whose text takes part in the names of this one: those that it uses, and those that use any of them, open in the
   * editor or lying in the folders. Each named by itself, without the analysis of its states.
   */
  async relatives(address: string): Promise<readonly FileView[]> {
    const own = addressKey(address);
    const shared = new Set([own, ...[...(this.snapshot(address)?.files?.keys() ?? [])].map(addressKey)]);
    const candidates = new Map<string, string>();
    const add = (files: Iterable<string>) => {
      for (const file of files) if (addressKey(file) !== own) candidates.set(addressKey(file), file);
    };
    add(this.snapshot(address)?.files?.keys() ?? []);
    add(this.openFiles());
    for (const folder of this.#folders) add((await this.#platform.findFiles?.(folder)) ?? []);
    const views: FileView[] = [];
    for (const [key, file] of candidates) {
      if (!this.watched) await this.#lookAgain(file);
      const uses = await this.#usesOf(file);
      if (!uses || !(shared.has(key) || [...uses].some((used) => shared.has(used)))) continue;
      const view = this.#viewOf(file);
      if (view) views.push(view);
    }
    return views;
  }

  /** Files may have changed without a word from the editor: those that are not open are read again. */
  async #lookAgain(address: string): Promise<void> {
    if (this.#texts.opened(addressKey(address))) return;
    const text = await this.#platform.readFile(address).catch(() => undefined);
    if (text !== this.#texts.textOf(address)) this.filesChanged([address]);
  }

  /** Keys of the files that a file uses, directly or not, all of them read; undefined when it cannot be read itself. */
  async #usesOf(address: string): Promise<ReadonlySet<string> | undefined> {
    await this.#texts.arrive(address);
    const found = this.#texts.look(address);
    if (typeof found === "string") return undefined;
    const uses = new Set<string>();
    await this.#arriveUsed(found.address, found.tree, uses);
    return uses;
  }

  /** One file by its names, open or not; all that it uses is here. */
  #viewOf(address: string): FileView | undefined {
    const open = this.#documents.get(addressKey(address));
    if (open && this.#fresh(open).phase !== "text") return this.#fresh(open);
    const found = this.#texts.look(address);
    if (typeof found === "string") return undefined;
    const { address: file, tree } = found;
    const source: Source = { file, tree, used: (from, path) => this.#used(from, path) };
    return { file, text: tree.text, tree, ...this.#pipeline.name(source) };
  }

  async #arriveUsed(file: string, tree: Source["tree"], seen: Set<string>): Promise<void> {
    for (const path of usedPaths(tree)) {
      const used = usedAddress(file, path, this.#folders);
      if (!used.ok || seen.has(addressKey(used.address))) continue;
      seen.add(addressKey(used.address));
      await this.#texts.arrive(used.address);
      const found = this.#texts.look(used.address);
      if (typeof found !== "string") await this.#arriveUsed(found.address, found.tree, seen);
    }
  }

  openFiles(): readonly string[] {
    return [...this.#documents.values()].map((document) => document.text.address);
  }

  /** Text of any file that takes part, open or named by `use`. */
  textOf(address: string): string | undefined {
    return this.#texts.textOf(address);
  }

  // ---------------------------------------------------------------- phases

  #stale(document: Document): void {
    document.snapshot = undefined;
    document.start = undefined;
    this.#queue.cancel(document.key);
    this.#publisher.callOff(document.key);
    if (this.#flushing) return;
    this.#flushing = true;
    this.#platform.soon(() => {
      this.#flushing = false;
      for (const waiting of this.#documents.values()) if (!waiting.snapshot) this.#fresh(waiting);
    });
  }

  #allStale(): void {
    for (const document of this.#documents.values()) this.#stale(document);
  }

  #usedChanged(key: string): void {
    for (const document of this.#documents.values()) {
      if (document.key !== key && document.snapshot?.uses.has(key)) this.#stale(document);
    }
  }

  /** Phase one, if it has not run for this text yet. */
  #fresh(document: Document): Snapshot {
    if (document.snapshot) return document.snapshot;
    const snapshot = this.#firstPhase(document);
    document.snapshot = snapshot;
    this.#publisher.ready(snapshot);
    if (snapshot.phase === "names") this.#queue.add(document.key, this.#secondPhase(document, snapshot));
    if (snapshot.phase === "all") this.#announce(document, snapshot);
    return snapshot;
  }

  #firstPhase(document: Document): Snapshot {
    const { address: file, version, text } = document.text;
    const uses = new Set<string>();
    const base = { file, version, text, machines: [], findings: [], missing: [], uses, deepest: "names" } as const;
    let tree: Source["tree"] = { from: 0, to: text.length, text, statements: [], comments: [], errors: [], tokens: [] };
    try {
      tree = this.#pipeline.parse(text, document.tree);
      document.tree = tree;
      const coming = this.#lookAtUsed(file, tree, uses);
      const source: Source = { file, tree, used: (from, path) => this.#used(from, path) };
      const named = this.#pipeline.name(source);
      // Names cannot be judged before all files are here; what the writing itself shows can.
      const { machines, mentions, files } = named;
      if (coming) return { ...base, tree, phase: "text", machines, mentions, files, findings: ofWriting(named, tree) };
      document.start = { source, named };
      return { ...base, tree, phase: "names", machines, mentions, files, findings: named.findings };
    } catch (error) {
      const finding = this.#stopped(document, error);
      return { ...base, tree, phase: "all", findings: [finding], missing: [finding.what] };
    }
  }

  /** Starts reading all files that `file` uses, directly or not; true while some are on their way. */
  #lookAtUsed(file: string, tree: Source["tree"], uses: Set<string>): boolean {
    let coming = false;
    for (const path of usedPaths(tree)) {
      const used = usedAddress(file, path, this.#folders);
      if (!used.ok || uses.has(addressKey(used.address))) continue;
      uses.add(addressKey(used.address));
      const found = this.#texts.look(used.address);
      if (found === "coming") coming = true;
      else if (found !== "absent") coming = this.#lookAtUsed(found.address, found.tree, uses) || coming;
    }
    return coming;
  }

  #used(from: string, path: string): UsedFile {
    const used = usedAddress(from, path, this.#folders);
    if (!used.ok) return { missing: used.why };
    const found = this.#texts.look(used.address);
    return typeof found === "string" ? { missing: "not-found" } : { file: found.address, tree: found.tree };
  }

  *#secondPhase(document: Document, first: Snapshot): Generator<void, void> {
    const start = document.start;
    if (!start) return;
    yield; // messages that came in the meantime go first
    const analysed: Analysed = yield* this.#pipeline.analyse(start.source, start.named, this.#isDue);
    if (document.snapshot !== first) return;
    const { machines, missing } = analysed;
    const main: Snapshot = {
      ...first,
      phase: "states",
      deepest: analysed.findings.length > 0 ? "states" : first.deepest,
      machines,
      missing,
      findings: [...first.findings, ...analysed.findings],
    };
    this.#reach(document, main);
    const later = yield* this.#pipeline.later(start.source, analysed, this.#isDue);
    if (document.snapshot !== main) return;
    this.#reach(document, {
      ...main,
      phase: "all",
      deepest: later.findings.length > 0 ? "all" : main.deepest,
      missing: [...missing, ...later.missing],
      findings: [...main.findings, ...later.findings],
      ...(later.looked ? { looked: later.looked } : {}),
      ...(later.benches ? { benches: later.benches } : {}),
      ...(later.proposals ? { proposals: later.proposals } : {}),
    });
  }

  #reach(document: Document, snapshot: Snapshot): void {
    document.snapshot = snapshot;
    this.#publisher.ready(snapshot);
    if (snapshot.phase === "all") this.#announce(document, snapshot);
    else this.#answerWaiters(document, snapshot);
  }

  #announce(document: Document, snapshot: Snapshot): void {
    this.#events.done({
      file: snapshot.file,
      version: snapshot.version,
      complete: snapshot.missing.length === 0,
      missing: snapshot.missing,
      looked: snapshot.looked?.at ?? [],
      milliseconds: this.#platform.now() - document.changedAt,
    });
    this.#answerWaiters(document, snapshot);
  }

  #answerWaiters(document: Document, snapshot: Snapshot | undefined): void {
    for (const waiter of [...document.waiters]) {
      if (!snapshot || isAtLeast(snapshot.phase, waiter.phase)) waiter.answer(snapshot);
    }
  }

  // ---------------------------------------------------------------- when something of ours breaks

  #analysisFailed(key: string, error: unknown): void {
    const document = this.#documents.get(key);
    const first = document?.snapshot;
    if (!document || !first || first.phase === "all") return;
    const finding = this.#stopped(document, error);
    this.#reach(document, {
      ...first,
      phase: "all",
      missing: [...first.missing, finding.what],
      findings: [...first.findings, finding],
    });
  }

  /** Said openly: a machine that could not be analysed must not look like one without findings. */
  #stopped(document: Document, error: unknown): Finding {
    const { address, text } = document.text;
    this.#platform.log(`analysis of ${address} stopped: ${error instanceof Error ? error.stack : String(error)}`);
    const end = text.search(/\r?\n/);
    return {
      id: "analysis-stopped",
      gravity: "warning",
      place: { file: address, from: 0, to: end < 0 ? text.length : end },
      what: "The analysis of this file stopped because of a fault in Camleaf itself.",
      why: "Findings may be missing below, so the absence of one means nothing.",
      advice: "Please report it with this file; the log has the details.",
      related: [],
    };
  }
}

/** Findings about the writing itself, which hold whatever the other files say. */
function ofWriting(named: Named, tree: Source["tree"]): readonly Finding[] {
  const ids = new Set(tree.errors.map((error) => error.id));
  return named.findings.filter((finding) => ids.has(finding.id));
}
