import type { Platform } from "../service.ts";

/** A worker has no files of its own: the editor reads them (server/lsp). */
export function workerPlatform(): Platform {
  // A message to oneself: timers are held back to 4 ms when nested.
  const channel = new MessageChannel();
  const jobs: (() => void)[] = [];
  channel.port1.onmessage = () => jobs.shift()?.();
  return {
    readFile: () => Promise.resolve(undefined),
    soon(job) {
      jobs.push(job);
      channel.port2.postMessage(undefined);
    },
    after(milliseconds, job) {
      const timer = setTimeout(job, milliseconds);
      return () => clearTimeout(timer);
    },
    now: () => performance.now(),
    log: (line) => console.log(line),
  };
}
