import type { Platform } from "./platform.ts";

/** Longest time in milliseconds that work runs before messages are looked at again. */
const sliceMilliseconds = 6;

interface Entry {
  readonly owner: string;
  readonly work: Iterator<void, void>;
}

/**
 * Work cut into short jobs. Each owner (a document) has at most one piece of work; handing in a new one, or cancelling,
 * ends the old one between two of its jobs. The latest piece of work goes first: that is where the person types.
 */
export class WorkQueue {
  readonly #platform: Platform;
  readonly #failed: (owner: string, error: unknown) => void;
  #entries: Entry[] = [];
  #running: Entry | undefined;
  #asleep = true;
  #end = 0;

  constructor(platform: Platform, failed: (owner: string, error: unknown) => void) {
    this.#platform = platform;
    this.#failed = failed;
  }

  add(owner: string, work: Iterator<void, void>): void {
    this.cancel(owner);
    this.#entries.unshift({ owner, work });
    this.#wake();
  }

  cancel(owner: string): void {
    const ended = this.#entries.filter((entry) => entry.owner === owner);
    this.#entries = this.#entries.filter((entry) => entry.owner !== owner);
    for (const entry of ended) {
      // Work that calls off itself ends by its own return: a generator cannot be ended from within.
      if (entry !== this.#running) this.#guarded(entry, () => entry.work.return?.());
    }
  }

  #wake(): void {
    if (!this.#asleep || this.#entries.length === 0) return;
    this.#asleep = false;
    this.#platform.soon(() => {
      this.#asleep = true;
      this.#slice();
      this.#wake();
    });
  }

  #slice(): void {
    this.#end = this.#platform.now() + sliceMilliseconds;
    do {
      const entry = this.#entries[0];
      if (!entry) return;
      let done = true;
      this.#running = entry;
      this.#guarded(entry, () => {
        done = entry.work.next().done === true;
      });
      this.#running = undefined;
      // The job itself may have changed the queue (its result published, a document closed).
      if (done) this.#entries = this.#entries.filter((other) => other !== entry);
    } while (!this.isDue());
  }

  /** True when messages want to be looked at again: work that would go on at once may leave out the end of a job until then. */
  isDue(): boolean {
    return this.#platform.now() >= this.#end;
  }

  #guarded(entry: Entry, job: () => void): void {
    try {
      job();
    } catch (error) {
      this.#failed(entry.owner, error);
    }
  }
}
