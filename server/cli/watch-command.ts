/** `camleaf watch FILE...`: checked again whenever a file of a machine changes, until the program is stopped. */
import { type FSWatcher, watch as watchFolder } from "node:fs";
import { dirname } from "node:path";
import { check, type Output } from "./check-command.ts";
import { filesOf } from "./file-list.ts";

/** Editors write a file in several steps; one check is enough for all. */
const settleMs = 120;

/** Runs until `stopped`; exit code 2 when nothing is there to be watched. */
export async function watch(args: readonly string[], output: Output, stopped: AbortSignal): Promise<number> {
  const again = async () => {
    await check(args, { format: "plain", version: "" }, output);
    output.line(output.paint.faint("Waiting for changes; Ctrl+C ends it."));
  };
  // What is not there is complained of by the check itself.
  const { files } = await filesOf(args, { complaint: () => {} });
  const folders = new Set(files.map((file) => dirname(file)));
  if (folders.size === 0) return check(args, { format: "plain", version: "" }, output);
  // Watched before the first check: what is saved while it runs counts.
  let soon: NodeJS.Timeout | undefined;
  let running = Promise.resolve();
  const watchers: FSWatcher[] = [...folders].map((folder) =>
    watchFolder(folder, (_event, name) => {
      if (name !== null && !name.endsWith(".camleaf")) return;
      clearTimeout(soon);
      soon = setTimeout(() => {
        running = running.then(() => {
          output.line("");
          return again();
        });
      }, settleMs);
    }),
  );
  running = running.then(again);
  await new Promise<void>((done) => {
    if (stopped.aborted) done();
    else stopped.addEventListener("abort", () => done(), { once: true });
  });
  clearTimeout(soon);
  for (const watcher of watchers) watcher.close();
  await running;
  return 0;
}
