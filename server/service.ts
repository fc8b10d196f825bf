/**
 * The only door to the analysis for the language server, the command line and tests: documents go in, findings and answers come
 * out, as plain data with offsets. No protocol, no files, no editor.
 */

import type { FileView } from "./editor/view.ts";
import { ChosenStates } from "./workspace/chosen-states.ts";
import type { Pipeline } from "./workspace/pipeline.ts";
import type { Platform } from "./workspace/platform.ts";
import type { GravitySettings } from "./workspace/publisher.ts";
import { isAtLeast, type Snapshot } from "./workspace/snapshot.ts";
import { makeStandardPipeline } from "./workspace/standard-pipeline.ts";
import { Workspace, type WorkspaceEvents } from "./workspace/workspace.ts";

export { usedAddress } from "./workspace/address.ts";
export type { Platform } from "./workspace/platform.ts";
export type { GravitySettings, Publication } from "./workspace/publisher.ts";
export type { Snapshot } from "./workspace/snapshot.ts";
export type { Done, WorkspaceEvents } from "./workspace/workspace.ts";

/** How long in milliseconds an answer that tells numbers waits for the every-state analysis before it answers without. */
const numbersPatience = 400;
/** How long in milliseconds a question about names waits for files that are still being read. */
const filesPatience = 2000;

export interface ServiceEvents extends WorkspaceEvents {
  /** The numbers are there that an answer had to be given without. */
  numbersCame(file: string): void;
}

export class Service {
  readonly workspace: Workspace;
  readonly #numbersCame: (file: string) => void;
  readonly #waitedFor = new Set<string>();
  /** The state of each machine that hints, hovers and views speak of. */
  readonly chosen = new ChosenStates();
  #folders: readonly string[] = [];

  constructor(platform: Platform, events: Partial<ServiceEvents> = {}, pipeline: Pipeline = makeStandardPipeline()) {
    this.#numbersCame = events.numbersCame ?? (() => {});
    this.workspace = new Workspace(platform, pipeline, {
      publish: events.publish ?? (() => {}),
      done: events.done ?? (() => {}),
    });
  }

  /** The whole text of a document, opened or changed; `version` grows with each change. */
  put(file: string, version: number, text: string): void {
    this.workspace.put(file, version, text);
  }

  close(file: string): void {
    this.workspace.close(file);
  }

  filesChanged(files: readonly string[]): void {
    this.workspace.filesChanged(files);
  }

  /** Whether `filesChanged` will be told of every change; true unless set. */
  set watched(watched: boolean) {
    this.workspace.watched = watched;
  }

  set folders(folders: readonly string[]) {
    this.#folders = folders;
    this.workspace.folders = folders;
  }

  get folders(): readonly string[] {
    return this.#folders;
  }

  set gravity(settings: GravitySettings) {
    this.workspace.gravity = settings;
  }

  /** The document with every check done. Undefined when it is not open, or was closed meanwhile. */
  analysed(file: string): Promise<Snapshot | undefined> {
    return this.workspace.reached("all", file);
  }

  /** Text of any file that takes part. */
  textOf(file: string): string | undefined {
    return this.workspace.textOf(file);
  }

  /** An answer from the text and its names alone, at once. */
  atOnce<Answer>(file: string, answer: (snapshot: Snapshot) => Answer): Answer | undefined {
    const snapshot = this.workspace.snapshot(file);
    return snapshot && answer(snapshot);
  }

  /** An answer about names that other files may share, with those files. */
  async withRelatives<Answer>(
    file: string,
    answer: (snapshot: Snapshot, others: readonly FileView[]) => Answer,
  ): Promise<Answer | undefined> {
    await this.workspace.reached("names", file, filesPatience);
    const others = await this.workspace.relatives(file);
    const snapshot = this.workspace.snapshot(file);
    return snapshot && answer(snapshot, others);
  }

  /** An answer that tells numbers: waits a moment for the analysis of every state. */
  async withNumbers<Answer>(file: string, answer: (snapshot: Snapshot) => Answer): Promise<Answer | undefined> {
    const snapshot = await this.workspace.reached("states", file, numbersPatience);
    if (snapshot && !isAtLeast(snapshot.phase, "states")) void this.#tellOfNumbers(file);
    return snapshot && answer(snapshot);
  }

  /** An answer that needs every state, however long that takes. */
  async afterStates<Answer>(file: string, answer: (snapshot: Snapshot) => Answer): Promise<Answer | undefined> {
    const snapshot = await this.workspace.reached("states", file);
    return snapshot && answer(snapshot);
  }

  /** Somebody was answered without numbers: says once when they are there. */
  async #tellOfNumbers(file: string): Promise<void> {
    if (this.#waitedFor.has(file)) return;
    this.#waitedFor.add(file);
    const snapshot = await this.workspace.reached("states", file);
    this.#waitedFor.delete(file);
    if (snapshot) this.#numbersCame(file);
  }
}
