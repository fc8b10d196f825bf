/** Checking many files: on as many threads as the computer has, in the order asked for, with a count on a terminal. */
import { availableParallelism } from "node:os";
import { isMainThread, parentPort, Worker } from "node:worker_threads";
import { type FileReport, reportOf } from "./file-report.ts";

/** Fewer files than this are done before a thread has started. */
const worthThreads = 12;

export interface Progress {
  done(count: number, all: number): void;
}

/** Reports in the order of `files`. */
export async function reports(files: readonly string[], colour: boolean, progress: Progress): Promise<FileReport[]> {
  const found: FileReport[] = [];
  const count = Math.min(availableParallelism(), Math.ceil(files.length / worthThreads));
  if (count <= 1) {
    for (const file of files) {
      found.push(await reportOf(file, colour));
      progress.done(found.length, files.length);
    }
    return found;
  }
  let next = 0;
  let done = 0;
  await Promise.all(
    Array.from({ length: count }, async () => {
      const thread = new Thread();
      try {
        while (next < files.length) {
          const index = next++;
          found[index] = await thread.report(files[index]!, colour);
          progress.done(++done, files.length);
        }
      } finally {
        await thread.end();
      }
    }),
  );
  return found;
}

interface Job {
  readonly file: string;
  readonly colour: boolean;
}

class Thread {
  /** This same program: its main part sees that it runs in a thread. */
  readonly #worker = new Worker(process.argv[1]!);
  #waiting: { readonly file: string; done(report: FileReport): void; failed(error: Error): void } | undefined;

  constructor() {
    this.#worker.on("message", (report: FileReport) => this.#waiting?.done(report));
    this.#worker.on("error", (error) => this.#waiting?.failed(error));
    this.#worker.on("exit", (code) =>
      this.#waiting?.failed(new Error(`a thread ended with ${code} at ${this.#waiting.file}`)),
    );
  }

  report(file: string, colour: boolean): Promise<FileReport> {
    return new Promise((done, failed) => {
      this.#waiting = { file, done, failed };
      const job: Job = { file, colour };
      this.#worker.postMessage(job);
    });
  }

  async end(): Promise<void> {
    this.#waiting = undefined;
    await this.#worker.terminate();
  }
}

/** True in a thread: it then answers jobs and nothing else. */
export function servesAsThread(): boolean {
  if (isMainThread || !parentPort) return false;
  const port = parentPort;
  port.on("message", ({ file, colour }: Job) => {
    void reportOf(file, colour).then((report) => port.postMessage(report));
  });
  return true;
}

/** A count on the line, taken away at the end; nothing where no person looks on. */
export function progressOn(stream: NodeJS.WriteStream): Progress & { end(): void } {
  const told = stream.isTTY === true;
  let last = 0;
  return {
    done(count, all) {
      const now = performance.now();
      if (!told || all < 4 || (now - last < 80 && count < all)) return;
      last = now;
      const wide = 30;
      const filled = Math.round((count / all) * wide);
      stream.write(`\r[${"=".repeat(filled)}${" ".repeat(wide - filled)}] ${count} of ${all} files`);
    },
    end() {
      if (told) stream.write("\r\u001b[K");
    },
  };
}
